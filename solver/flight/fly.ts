import { ascend, coast, coastLane, type Follower, openAfter, reopen } from './ascent.ts'
import { addHold, firstGain, putApoapsis, putBurnout, putPeaks } from './ascent-figures.ts'
import { coastToApoapsis } from './coast.ts'
import { setDrag } from './drag.ts'
import { jumpLanes } from './lanes.ts'
import { setAir } from './layers.ts'
import { type Pad, padSlopes, standOnPad } from './pad.ts'
import { considerAll } from './peaks.ts'
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
import { prepare } from './release.ts'
import { takeNumbers } from './slab.ts'
import { stayOnPad } from './stay.ts'
import { createWorkspace, type End, type Workspace } from './workspace.ts'

/** Relative tolerances of each step. */
export const TOLERANCES: Record<Accuracy, number> = { loose: 1e-4, medium: 1e-6, tight: 1e-8 }
/** Steps that one flight may try, besides a few for each knot of its drag curve. */
export const STEP_LIMIT = 5000
/** Phases of one stage: its burn and the coast. */
const PHASES = 2

const NO_SLOPES = new Float64Array(0)

/** One workspace serves all flights: they run one after another. */
export const workspace = createWorkspace()

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
  const ideal = pad.exhaustSpeed * Math.log(pad.releaseMass / pad.dryMass)
  prepare(w, plan, pad, changes, PHASES, tolerance, ideal)
  setAir(w, plan, profile)
  const stages = directions.map(direction => direction.stages[0]!)
  setDrag(w, plan.stages[0]!, stages, plan.restarts)
  const limit = STEP_LIMIT + 20 * plan.restarts.length
  const atBurnout = (_: Workspace, before: End, after: End): boolean => {
    burnOut(w, pad, changes, before, after, figures, slopes)
    return true
  }
  const ascent = ascend(w, limit, atBurnout, follower)
  follower?.end(w, ascent)
  let outcome: FlightOutcome = 'could not be flown'
  if (ascent.kind !== 'lost') {
    const escapes = ascent.kind === 'vacuum' && coastToApoapsis(w, ascent.end, figures, slopes)
    if (ascent.kind === 'apoapsis') putApoapsis(w, ascent.end, figures, slopes)
    outcome = escapes ? 'escapes' : 'comes down'
    addHold(pad, changes, figures, slopes)
    putPeaks(w, plan.body, PHASES, figures, slopes)
  }
  const evaluations = w.evaluations
  if (outcome !== 'could not be flown' && isWhole(figures, outcome)) return { outcome, figures, slopes, evaluations }
  return { outcome: 'could not be flown', figures: figures.fill(Number.NaN), slopes: slopes.fill(0), evaluations }
}

/** Ends the burn: its figures, then the coast's constants, with the lanes' jump at fixed time. */
function burnOut(
  w: Workspace,
  pad: Pad,
  changes: readonly Pad[],
  before: End,
  after: End,
  figures: Float64Array,
  slopes: Float64Array,
): void {
  for (let l = 0; l < w.laneCount; l++) w.lanes[l]!.event = changes[l]!.burn
  considerAll(w, before)
  putBurnout(w, pad, changes, firstGain(pad, changes), before, figures, slopes)
  coast(w, pad.dryMass)
  w.losing = false
  w.until = Number.POSITIVE_INFINITY
  openAfter(w, before, after)
  reopen(w, after, true)
  jumpLanes(w, before, after)
  for (let l = 0; l < w.laneCount; l++) coastLane(w.lanes[l]!, changes[l]!.dryMass)
  considerAll(w, after)
}

/** Figures that every flight off the pad has; one that is no number means the integration went astray. */
const ALWAYS: readonly FlownName[] = [
  'burnout altitude',
  'burnout speed',
  'peak g',
  'max speed',
  'gravity loss',
  'drag loss',
]

/** Whether an ascent has the figures that every flight off the pad has. */
export function isWhole(figures: Float64Array, outcome: FlightOutcome): boolean {
  if (outcome === 'comes down' && !Number.isFinite(figures[PLACE.apoapsis]!)) return false
  return ALWAYS.every(name => Number.isFinite(figures[PLACE[name]]!))
}
