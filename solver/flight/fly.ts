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
import { AIR_TOP } from './us76-data.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/** Relative tolerances of each step. */
export const TOLERANCES: Record<Accuracy, number> = { loose: 1e-4, medium: 1e-6, tight: 1e-9 }
/** Steps that one flight may try, besides a few for each knot of its drag curve. */
const STEP_LIMIT = 5000
/** Below this thrust over weight a flight that stays on the pad counts as that much lower in `apoapsis energy` [m per 1]. */
const PAD_DEPTH = 20000

/** One workspace serves all flights: they run one after another. */
const workspace = W.createWorkspace()

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
  const figures = new Float64Array(FLOWN.length).fill(Number.NaN)
  const slopes = new Float64Array(FLOWN.length * lanes)
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
  const evaluations = w.flags[W.EVALUATIONS]!
  if (outcome !== 'could not be flown' && isWhole(figures, outcome)) return { outcome, figures, slopes, evaluations }
  return { outcome: 'could not be flown', figures: figures.fill(Number.NaN), slopes: slopes.fill(0), evaluations }
}

/** Fills the workspace with the stage and its lanes at release. */
function prepare(w: Workspace, plan: Plan, pad: Pad, changes: readonly Pad[], tolerance: number): void {
  const S = w.numbers
  const I = w.flags
  const lanes = changes.length
  S[W.RADIUS] = plan.body.radius
  S[W.GRAVITY] = plan.body.gravity
  S[W.THRUST] = pad.thrust
  S[W.BACK] = pad.back
  S[W.MASS] = pad.releaseMass
  S[W.FLOW] = pad.flow
  S[W.BURN_TIME] = pad.burn
  S[W.DRY] = pad.dryMass
  S[W.SPEED_SCALE] = 0.03 * pad.exhaustSpeed * Math.log(pad.releaseMass / pad.dryMass)
  S[W.TOLERANCE] = tolerance
  S[W.DRAG_LOSS] = 0
  S[W.PRESSURE_LOSS] = 0
  I[W.LANES] = lanes
  I[W.BURNING] = 1
  I[W.EVALUATIONS] = 0
  I[W.LOOSE] = tolerance > 1e-5 ? 1 : 0
  w.best.fill(-1)
  if (w.lanes.length < lanes * W.LANE) {
    w.lanes = new Float64Array(lanes * W.LANE)
    w.bestSlopes = new Float64Array(lanes * W.BEST)
  }
  w.lanes.fill(0)
  w.bestSlopes.fill(0)
  changes.forEach((change, lane) => {
    const at = lane * W.LANE
    w.lanes[at + W.D_ALTITUDE] = change.launchAltitude
    w.lanes[at + W.D_MASS] = change.releaseMass
    w.lanes[at + W.D_FLOW] = change.flow
    w.lanes[at + W.D_THRUST] = change.thrust
    w.lanes[at + W.D_BACK] = change.back
    w.lanes[at + W.D_BURN_TIME] = change.burn
    w.lanes[at + W.D_DRY] = change.dryMass
  })
  const end = w.ends[0]
  end[W.ALTITUDE] = plan.launchAltitude
  end[W.SPEED] = 0
  end[W.TIME] = 0
}

/** The figures of burnout and the losses up to it, the time on the pad included. */
function putBurnout(
  w: Workspace,
  plan: Plan,
  pad: Pad,
  changes: readonly Pad[],
  end: Float64Array,
  figures: Float64Array,
  slopes: Float64Array,
): void {
  const S = w.numbers
  const lanes = changes.length
  const pressure = end[W.RECORD + W.PRESSURE]!
  const weight = pad.dryMass * plan.body.gravity
  const ratio = (pad.thrust - pad.back * pressure) / weight
  const ideal = pad.exhaustSpeed * Math.log(pad.liftoffMass / pad.dryMass)
  // While held, thrust carries weight and the rest of the vacuum thrust is lost to pressure.
  const stand = Math.log(pad.liftoffMass / pad.releaseMass) / pad.flow
  const padBack = pad.thrust - pad.padThrust
  const backLoss = pad.back * S[W.PRESSURE_LOSS]! + padBack * stand
  figures[PLACE['burnout ratio']] = ratio
  figures[PLACE['burnout altitude']] = end[W.ALTITUDE]!
  figures[PLACE['burnout speed']] = end[W.SPEED]!
  figures[PLACE['drag loss']] = S[W.DRAG_LOSS]!
  figures[PLACE['back pressure loss']] = backLoss
  figures[PLACE['gravity loss']] = ideal - end[W.SPEED]! - S[W.DRAG_LOSS]! - backLoss
  changes.forEach((change, lane) => {
    const at = lane * W.LANE
    const L = w.lanes
    const later = change.burn
    const altitude = L[at + W.D_ALTITUDE]! + end[W.SPEED]! * later
    const speed = L[at + W.D_SPEED]! + end[W.ACCELERATION]! * later
    const thrust = change.thrust - change.back * pressure - pad.back * end[W.PRESSURE_SLOPE]! * altitude
    const dragLoss = L[at + W.D_DRAG_LOSS]! + end[W.DRAG_RATE]! * later
    const pressureLoss = L[at + W.D_PRESSURE_LOSS]! + end[W.PRESSURE_RATE]! * later
    const standSlope =
      (change.liftoffMass / pad.liftoffMass - change.releaseMass / pad.releaseMass - stand * change.flow) / pad.flow
    const back =
      change.back * S[W.PRESSURE_LOSS]! +
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
function putApoapsis(w: Workspace, plan: Plan, end: Float64Array, figures: Float64Array, slopes: Float64Array): void {
  const { radius } = plan.body
  const lanes = w.flags[W.LANES]!
  const share = radius / (radius + end[W.ALTITUDE]!)
  figures[PLACE.apoapsis] = end[W.ALTITUDE]!
  figures[PLACE['apoapsis time']] = end[W.TIME]!
  figures[PLACE['apoapsis speed']] = 0
  figures[PLACE['apoapsis energy']] = share * end[W.ALTITUDE]!
  for (let lane = 0; lane < lanes; lane++) {
    const change = w.lanes[lane * W.LANE + W.D_ALTITUDE]!
    slopes[PLACE.apoapsis * lanes + lane] = change
    slopes[PLACE['apoapsis time'] * lanes + lane] = w.lanes[lane * W.LANE + W.D_EVENT]!
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
  const { best } = w
  const put = (name: FlownName, place: number): void => copyBest(w, place, PLACE[name], figures, slopes)
  put('peak g burning', W.PEAK_G)
  put('peak g coasting', W.PEAK_G + 1)
  put('peak g', best[W.PEAK_G]! >= best[W.PEAK_G + 1]! ? W.PEAK_G : W.PEAK_G + 1)
  put('max speed', W.MAX_SPEED)
  put('max q burning', W.MAX_Q)
  put('max q coasting', W.MAX_Q + 1)
  const phase = best[W.MAX_Q]! >= best[W.MAX_Q + 1]! ? 0 : 1
  put('max q', W.MAX_Q + phase)
  if (best[W.MAX_Q + phase]! >= 0) put('max q altitude', W.MAX_Q_ALTITUDE + phase)
  if (best[W.MAX_MACH]! >= 0 && tellsMach(plan)) put('max mach', W.MAX_MACH)
}

function copyBest(w: Workspace, from: number, to: number, figures: Float64Array, slopes: Float64Array): void {
  const lanes = w.flags[W.LANES]!
  // Never taken means never in air: no dynamic pressure.
  figures[to] = from >= W.MAX_Q_ALTITUDE ? w.best[from]! : Math.max(0, w.best[from]!)
  for (let lane = 0; lane < lanes; lane++) slopes[to * lanes + lane] = w.bestSlopes[from * lanes + lane]!
}

/** Whether the body's air tells a sound speed. */
export function tellsMach({ body }: Plan): boolean {
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
