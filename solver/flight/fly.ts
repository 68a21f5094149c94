import { ascend, type Follower } from './ascent.ts'
import { coastToApoapsis } from './coast.ts'
import { setDrag } from './drag.ts'
import { setAir } from './layers.ts'
import { bestRatio, bestRatioSlope, type Pad, padSlopes, standOnPad } from './pad.ts'
import { PLACE } from './places.ts'
import {
  type Accuracy,
  type Direction,
  FLOWN,
  type FlightOutcome,
  type Flown,
  type FlownName,
  type Plan,
} from './plan.ts'
import type { Profile } from './profile.ts'
import { takeNumbers } from './slab.ts'
import { AIR_TOP } from './us76-data.ts'
import { createWorkspace, type End, openLanes, type Peak, type Workspace } from './workspace.ts'

/** Relative tolerances of each step. */
export const TOLERANCES: Record<Accuracy, number> = { loose: 1e-4, medium: 1e-6, tight: 1e-8 }
/** Steps that one flight may try, besides a few for each knot of its drag curve. */
const STEP_LIMIT = 5000
/** Share of the ideal speed gain that is added to speed where errors are taken relative to it. */
const ERROR_SPEED = 0.03
/** Tolerance above which there are no restarts at layer edges and drag knots. */
const LOOSE = 1e-5
/** Below this thrust over weight a flight that stays on the pad counts as that much lower in `apoapsis energy` [m per 1]. */
const PAD_DEPTH = 20000

const NO_SLOPES = new Float64Array(0)

/** One workspace serves all flights: they run one after another. */
const workspace = createWorkspace()

/**
 * Flies a plan of one stage straight up, from ignition to apoapsis, with the derivatives of its figures along each direction. The plan must be
 * without fault (see `planFault`). Equations and definitions: DEVELOPERS.md, "The flight". Never throws on such a plan.
 */
export function fly(plan: Plan, directions: readonly Direction[], accuracy: Accuracy): Flown {
  return flyThrough(null, plan, directions, TOLERANCES[accuracy], null)
}

/** The same at any relative tolerance (looser than 1e-5: no restarts at layer edges and drag knots), through a given profile of standard air, told to a follower. */
export function flyThrough(
  profile: Profile | null,
  plan: Plan,
  directions: readonly Direction[],
  tolerance: number,
  follower: Follower | null,
): Flown {
  const lanes = directions.length
  const figures = takeNumbers(FLOWN.length, Number.NaN)
  const slopes = lanes === 0 ? NO_SLOPES : takeNumbers(FLOWN.length * lanes, 0)
  const pad = standOnPad(plan)
  const changes = directions.map(direction => padSlopes(plan, pad, direction))
  if (pad.burn === 0) {
    stayOnPad(plan, pad, changes, figures, slopes)
    return { outcome: 'never leaves the pad', figures, slopes, evaluations: 0 }
  }
  const w = workspace
  prepare(w, plan, pad, changes, tolerance)
  setAir(w, plan, profile)
  setDrag(w, plan, directions)
  const limit = STEP_LIMIT + 20 * plan.restarts.length
  const ascent = ascend(w, limit, (_, end) => putBurnout(w, plan, pad, changes, end, figures, slopes), follower)
  follower?.end(w, ascent)
  let outcome: FlightOutcome = 'could not be flown'
  if (ascent.kind !== 'lost') {
    const escapes = ascent.kind === 'vacuum' && coastToApoapsis(w, plan, ascent.end, figures, slopes)
    if (ascent.kind === 'apoapsis') putApoapsis(w, plan, ascent.end, figures, slopes)
    outcome = escapes ? 'escapes' : 'comes down'
    addHold(pad, changes, figures, slopes)
    putPeaks(w, plan, figures, slopes)
  }
  const evaluations = w.evaluations
  if (outcome !== 'could not be flown' && isWhole(figures, outcome)) return { outcome, figures, slopes, evaluations }
  return { outcome: 'could not be flown', figures: figures.fill(Number.NaN), slopes: slopes.fill(0), evaluations }
}

/** Fills the workspace with the stage and its lanes at release. */
function prepare(w: Workspace, plan: Plan, pad: Pad, changes: readonly Pad[], tolerance: number): void {
  const ideal = pad.exhaustSpeed * Math.log(pad.releaseMass / pad.dryMass)
  w.radius = plan.body.radius
  w.gravity = plan.body.gravity
  w.thrust = pad.thrust
  w.back = pad.back
  w.mass = pad.releaseMass
  w.flow = pad.flow
  w.burning = true
  w.burnTime = pad.burn
  w.dryMass = pad.dryMass
  w.speedScale = ERROR_SPEED * ideal
  w.altitudeScale = w.speedScale ** 2 / (2 * w.gravity)
  w.tolerance = tolerance
  w.loose = tolerance > LOOSE
  w.dragLoss = 0
  w.pressureLoss = 0
  w.evaluations = 0
  openLanes(w, changes.length)
  changes.forEach((change, l) => {
    const lane = w.lanes[l]!
    lane.altitude = change.launchAltitude
    lane.speed = 0
    lane.dragLoss = 0
    lane.pressureLoss = 0
    lane.event = 0
    lane.mass = change.releaseMass
    lane.flow = change.flow
    lane.thrust = change.thrust
    lane.back = change.back
    lane.burnTime = change.burn
    lane.dryMass = change.dryMass
  })
  const end = w.ends[0]
  end.altitude = plan.launchAltitude
  end.speed = 0
  end.time = 0
}

/** The figures of burnout and the losses up to it, the time on the pad included. */
function putBurnout(
  w: Workspace,
  plan: Plan,
  pad: Pad,
  changes: readonly Pad[],
  end: End,
  figures: Float64Array,
  slopes: Float64Array,
): void {
  const lanes = changes.length
  const { pressure } = end
  const weight = pad.dryMass * plan.body.gravity
  const ratio = (pad.thrust - pad.back * pressure) / weight
  const ideal = pad.exhaustSpeed * Math.log(pad.liftoffMass / pad.dryMass)
  // While held, thrust carries weight and the rest of the vacuum thrust is lost to pressure.
  const stand = Math.log(pad.liftoffMass / pad.releaseMass) / pad.flow
  const padBack = pad.thrust - pad.padThrust
  const backLoss = pad.back * w.pressureLoss + padBack * stand
  figures[PLACE['burnout ratio']] = ratio
  figures[PLACE['burnout altitude']] = end.altitude
  figures[PLACE['burnout speed']] = end.speed
  figures[PLACE['drag loss']] = w.dragLoss
  figures[PLACE['back pressure loss']] = backLoss
  figures[PLACE['gravity loss']] = ideal - end.speed - w.dragLoss - backLoss
  changes.forEach((change, lane) => {
    const carried = w.lanes[lane]!
    const later = change.burn
    const altitude = carried.altitude + end.speed * later
    const speed = carried.speed + end.acceleration * later
    const thrust = change.thrust - change.back * pressure - pad.back * end.pressureSlope * altitude
    const dragLoss = carried.dragLoss + end.dragLoss * later
    const pressureLoss = carried.pressureLoss + end.pressureLoss * later
    const standSlope =
      (change.liftoffMass / pad.liftoffMass - change.releaseMass / pad.releaseMass - stand * change.flow) / pad.flow
    const back =
      change.back * w.pressureLoss +
      pad.back * pressureLoss +
      (change.thrust - change.padThrust) * stand +
      padBack * (pad.hold > 0 ? standSlope : 0)
    const idealSlope =
      (change.exhaustSpeed * ideal) / pad.exhaustSpeed +
      pad.exhaustSpeed * (change.liftoffMass / pad.liftoffMass - change.dryMass / pad.dryMass)
    slopes[PLACE['burnout ratio'] * lanes + lane] = (thrust - ratio * change.dryMass * plan.body.gravity) / weight
    slopes[PLACE['burnout altitude'] * lanes + lane] = altitude
    slopes[PLACE['burnout speed'] * lanes + lane] = speed
    slopes[PLACE['drag loss'] * lanes + lane] = dragLoss
    slopes[PLACE['back pressure loss'] * lanes + lane] = back
    slopes[PLACE['gravity loss'] * lanes + lane] = idealSlope - speed - dragLoss - back
  })
}

/** Apoapsis reached in air. */
function putApoapsis(w: Workspace, plan: Plan, end: End, figures: Float64Array, slopes: Float64Array): void {
  const { radius } = plan.body
  const lanes = w.laneCount
  const share = radius / (radius + end.altitude)
  figures[PLACE.apoapsis] = end.altitude
  figures[PLACE['apoapsis time']] = end.time
  figures[PLACE['apoapsis speed']] = 0
  figures[PLACE['apoapsis energy']] = share * end.altitude
  for (let lane = 0; lane < lanes; lane++) {
    const change = w.lanes[lane]!.altitude
    slopes[PLACE.apoapsis * lanes + lane] = change
    slopes[PLACE['apoapsis time'] * lanes + lane] = w.lanes[lane]!.event
    slopes[PLACE['apoapsis energy'] * lanes + lane] = share * share * change
  }
}

/** Times count from ignition: the time held on the pad comes before release. */
function addHold(pad: Pad, changes: readonly Pad[], figures: Float64Array, slopes: Float64Array): void {
  figures[PLACE['apoapsis time']]! += pad.hold
  if (figures[PLACE['apoapsis time']] === Number.POSITIVE_INFINITY) return
  changes.forEach((change, lane) => {
    slopes[PLACE['apoapsis time'] * changes.length + lane]! += change.hold
  })
}

/** Peaks by phase, and the larger of each two. */
function putPeaks(w: Workspace, plan: Plan, figures: Float64Array, slopes: Float64Array): void {
  const lanes = w.laneCount
  const put = (name: FlownName, peak: Peak): void => {
    // Never taken means never in air: no dynamic pressure.
    figures[PLACE[name]] = Math.max(0, peak.value)
    if (peak.value < 0) return
    for (let l = 0; l < lanes; l++) slopes[PLACE[name] * lanes + l] = peak.slopes[l]!
  }
  const larger = ([burning, coasting]: readonly [Peak, Peak]): Peak =>
    burning.value >= coasting.value ? burning : coasting
  put('peak g burning', w.peakG[0])
  put('peak g coasting', w.peakG[1])
  put('peak g', larger(w.peakG))
  put('max speed', w.maxSpeed)
  put('max q burning', w.maxQ[0])
  put('max q coasting', w.maxQ[1])
  const maxQ = larger(w.maxQ)
  put('max q', maxQ)
  if (maxQ.value >= 0) {
    const place = PLACE['max q altitude']
    figures[place] = maxQ.altitude
    for (let l = 0; l < lanes; l++) slopes[place * lanes + l] = maxQ.altitudeSlopes[l]!
  }
  if (w.maxMach.value >= 0 && tellsMach(plan)) put('max mach', w.maxMach)
}

/** Whether the body's air tells a sound speed. */
export function tellsMach({ body }: Plan): boolean {
  if (body.air?.kind === 'profile') return body.air.tellsSound
  return body.air !== null && (body.air.kind === 'us76' || body.air.soundSpeed > 0)
}

/** Whether there is air on the pad; where not, there is none further up. */
export function startsInAir({ body, launchAltitude }: Plan): boolean {
  if (!body.air) return false
  return launchAltitude < (body.air.kind === 'us76' ? AIR_TOP : body.air.top)
}

/** The figures of a rocket that never leaves the pad; where nothing burns there is no burnout. */
function stayOnPad(plan: Plan, pad: Pad, changes: readonly Pad[], figures: Float64Array, slopes: Float64Array): void {
  const lanes = changes.length
  const { radius, gravity } = plan.body
  const burns = plan.stages[0]!.propellantMass > 0
  const set = (name: FlownName, value: number, slope: ((change: Pad) => number) | null): void => {
    figures[PLACE[name]] = value
    if (!slope) return
    changes.forEach((change, lane) => {
      slopes[PLACE[name] * lanes + lane] = slope(change)
    })
  }
  const altitude = (change: Pad): number => change.launchAltitude
  const felt = (change: Pad): number => change.gravity
  for (const name of STILL) set(name, 0, null)
  set('peak g', pad.gravity, felt)
  set('peak g burning', pad.gravity, felt)
  set('apoapsis', pad.launchAltitude, altitude)
  const share = radius / (radius + pad.launchAltitude)
  const ratio = bestRatio(pad)
  const short = burns || ratio < 1
  set('apoapsis energy', share * pad.launchAltitude - (short ? PAD_DEPTH * (1 - ratio) : 0), change => {
    const depth = short ? PAD_DEPTH * bestRatioSlope(pad, change) : 0
    return share * share * change.launchAltitude + depth
  })
  if (startsInAir(plan)) set('max q altitude', pad.launchAltitude, altitude)
  if (startsInAir(plan) && tellsMach(plan)) set('max mach', 0, null)
  if (!burns) return
  set('burnout altitude', pad.launchAltitude, altitude)
  set('burnout speed', 0, null)
  const weight = pad.dryMass * gravity
  const burnout = pad.padThrust / weight
  set('burnout ratio', burnout, change => (change.padThrust - burnout * change.dryMass * gravity) / weight)
}

/** What is zero where nothing moves. */
const STILL: readonly FlownName[] = [
  'max q',
  'max q burning',
  'max speed',
  'apoapsis time',
  'apoapsis speed',
  'gravity loss',
  'drag loss',
  'back pressure loss',
]

/** Figures that every flight off the pad has; one that is no number means the integration went astray. */
const ALWAYS: readonly FlownName[] = [
  'burnout altitude',
  'burnout speed',
  'peak g',
  'max speed',
  'gravity loss',
  'drag loss',
]

function isWhole(figures: Float64Array, outcome: FlightOutcome): boolean {
  if (outcome === 'comes down' && !Number.isFinite(figures[PLACE.apoapsis]!)) return false
  return ALWAYS.every(name => Number.isFinite(figures[PLACE[name]]!))
}
