import { choosePieces, crossKnot } from './drag.ts'
import { aim, earliest, REACH } from './events.ts'
import { fitStep, riseAt, speedAt } from './hermite.ts'
import { moveLanes, shiftLanes } from './lanes.ts'
import { climbLayer } from './layers.ts'
import { consider, crossPeaks, spare, watch } from './peaks.ts'
import { evaluate } from './rates.ts'
import { attempt, judge } from './step.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/** What follows a flight: each accepted step between its two evaluated ends, each event with both its sides, and the end. */
export interface Follower {
  readonly step: (w: Workspace, from: Float64Array, to: Float64Array) => void
  readonly event: (w: Workspace, kind: number, before: Float64Array, after: Float64Array) => void
  readonly end: (w: Workspace, ascent: AscentEnd) => void
}

/** Told at burnout, with the last end of the burn: its figures are total values, so each lane's event time is in D_EVENT. */
export type AtBurnout = (w: Workspace, end: Float64Array) => void

/** Where the ascent ended: at apoapsis in air, coasting above all air, or nowhere (it could not be integrated). */
export type AscentEnd =
  | { readonly kind: 'apoapsis'; readonly end: Float64Array }
  | { readonly kind: 'vacuum'; readonly end: Float64Array }
  | { readonly kind: 'lost' }

const LOST: AscentEnd = { kind: 'lost' }

/**
 * Integrates from release to apoapsis, or to the coast above all air, restarting at burnout, layer edges and real drag knots.
 * At most `limit` steps are tried.
 */
export function ascend(w: Workspace, limit: number, atBurnout: AtBurnout, follower: Follower | null): AscentEnd {
  const S = w.numbers
  const I = w.flags
  let from = w.ends[0]
  let to = w.ends[1]
  if (!start(w, from)) return LOST
  for (let tries = limit; tries > 0; ) {
    aim(w, from)
    let event = W.NONE
    for (;;) {
      if (tries-- === 0) return LOST
      attempt(w, from, to)
      evaluate(w, to)
      judge(w, from, to)
      if (!(S[W.ERROR]! <= 1)) {
        // A step that gives no number at all is cut as far as one may be.
        S[W.STEP]! *= S[W.ERROR]! > 1 ? growth(S[W.ERROR]!) : 0.2
        S[W.NATURAL] = S[W.STEP]!
        I[W.LAST] = 0
        continue
      }
      event = earliest(w, from, to)
      if (event === W.NONE || S[W.EVENT]! >= -REACH) break
      // Too far beyond the event: once more, to where it seems to be.
      S[W.STEP]! *= 1 + S[W.EVENT]!
      I[W.LAST] = 0
    }
    accept(w, from, to, event)
    if (follower) follower.step(w, from, to)
    const last = I[W.LAST] === 1 && event === W.NONE
    if (event === W.APOAPSIS) {
      finish(w, to)
      return { kind: 'apoapsis', end: to }
    }
    if (last || event !== W.NONE) {
      const next = spare(w, from, to)
      if (last) burnOut(w, to, next, atBurnout)
      else cross(w, event, to, next)
      if (follower) follower.event(w, last ? W.BURNOUT : event, to, next)
      if (I[W.AIR] === W.NO_AIR && I[W.BURNING] === 0) return { kind: 'vacuum', end: next }
      to = from
      from = next
    } else {
      const kept = from
      from = to
      to = kept
    }
  }
  return LOST
}

/** Factor for the next step: 0.9 err^(−3/16), from 0.2 to 5, by square roots. */
function growth(error: number): number {
  const eighth = Math.sqrt(Math.sqrt(Math.sqrt(error)))
  return Math.max(0.2, Math.min(5, 0.9 / (eighth * Math.sqrt(eighth))))
}

/** The release: rates there, the first step, and the values that peaks start from. False where they are no numbers. */
function start(w: Workspace, end: Float64Array): boolean {
  const S = w.numbers
  const I = w.flags
  I[W.PIECE] = I[W.PIECE_LOW] = I[W.PIECE_HIGH] = 0
  evaluate(w, end)
  if (I[W.TABLE] === 1) {
    choosePieces(w, end[W.MACH]!, 1)
    evaluate(w, end)
  }
  const a = end[W.ACCELERATION]!
  const j = end[W.JERK]!
  // 300 m at the acceleration of release, or, where that is small, at its growth.
  const byPush = a > 0 ? Math.sqrt(600 / a) : Number.POSITIVE_INFINITY
  const byJerk = j > 0 ? Math.cbrt(1800 / j) : Number.POSITIVE_INFINITY
  S[W.NATURAL] = Math.min(byPush, byJerk, S[W.BURN_TIME]! / 5)
  if (!(S[W.NATURAL]! > 0)) return false
  consider(w, W.PEAK_G, end)
  consider(w, W.MAX_SPEED, end)
  if (I[W.AIR] !== W.NO_AIR) {
    consider(w, W.MAX_Q, end)
    consider(w, W.MAX_MACH, end)
  }
  return true
}

/** Takes the step over: next step size, losses and lanes; lands on the event; looks for peaks inside. */
function accept(w: Workspace, from: Float64Array, to: Float64Array, event: number): void {
  const S = w.numbers
  const I = w.flags
  const step = S[W.STEP]!
  const next = step * (S[W.ERROR]! > 0 ? growth(S[W.ERROR]!) : 5)
  // A step cut short by an event says little of the next one.
  if (event === W.NONE && I[W.LAST] === 0) S[W.NATURAL] = next
  else S[W.NATURAL] = Math.max(S[W.NATURAL]!, next)
  if (I[W.BURNING] === 1) {
    S[W.DRAG_LOSS]! += S[W.STEP_DRAG_LOSS]!
    S[W.PRESSURE_LOSS]! += S[W.STEP_PRESSURE_LOSS]!
  }
  if (I[W.LANES] !== 0) moveLanes(w, from)
  if (event !== W.NONE) land(w, from, to, event)
  else if (I[W.LAST] === 1) to[W.TIME] = S[W.BURN_TIME]!
  watch(w, from, to)
}

/** Moves the step's end to the event. */
function land(w: Workspace, from: Float64Array, to: Float64Array, event: number): void {
  const S = w.numbers
  const e = S[W.EVENT]!
  const dt = S[W.STEP]!
  fitStep(w, from, to)
  if (w.flags[W.BURNING] === 1) {
    S[W.DRAG_LOSS]! += partOf(from, to, W.DRAG_RATE, dt, e)
    S[W.PRESSURE_LOSS]! += partOf(from, to, W.PRESSURE_RATE, dt, e)
  }
  if (w.flags[W.LANES] !== 0) shiftLanes(w, from, to, e)
  to[W.ALTITUDE] = event === W.LAYER_EDGE ? S[W.EDGE]! : to[W.ALTITUDE]! + riseAt(S, e)
  to[W.SPEED] = event === W.APOAPSIS ? 0 : speedAt(S, e)
  to[W.TIME]! += e * dt
  S[W.STEP] = (1 + e) * dt
  evaluate(w, to)
}

/** Integral from the step's end to place e of a rate whose own rate stands beside it: the cubic through both ends. */
function partOf(from: Float64Array, to: Float64Array, rate: number, dt: number, e: number): number {
  const b = to[rate + 1]! * dt
  const fall = from[rate]! - to[rate]!
  const c3 = from[rate + 1]! * dt + b + 2 * fall
  const c2 = c3 + fall + b
  return dt * e * (to[rate]! + e * (b / 2 + e * (c2 / 3 + (e * c3) / 4)))
}

/** Passes a layer edge or a drag knot: the other side's rates, the lanes' jump and the peaks that may stand there. */
function cross(w: Workspace, event: number, before: Float64Array, after: Float64Array): void {
  const L = w.lanes
  for (let lane = 0; lane < w.flags[W.LANES]!; lane++) {
    const at = lane * W.LANE
    const h = L[at + W.D_ALTITUDE]!
    const v = before[W.SPEED]!
    L[at + W.D_EVENT] =
      event === W.LAYER_EDGE
        ? -h / v
        : -(before[W.SLOWNESS]! * L[at + W.D_SPEED]! + v * before[W.SLOWNESS_SLOPE]! * h) / before[W.MACH_RATE]!
  }
  copyState(before, after)
  if (event === W.LAYER_EDGE) climbLayer(w, before[W.ALTITUDE]!)
  else crossKnot(w, event === W.MACH_UP)
  reopen(w, after, event === W.LAYER_EDGE)
  // Each side's peaks are taken with the lanes of that side.
  crossPeaks(w, before, after, before)
  jumpLanes(w, before, after)
  crossPeaks(w, before, after, after)
}

/** Ends the burn: its figures, then the coast's constants, with the lanes' jump at fixed time. */
function burnOut(w: Workspace, before: Float64Array, after: Float64Array, atBurnout: AtBurnout): void {
  const S = w.numbers
  const L = w.lanes
  for (let lane = 0; lane < w.flags[W.LANES]!; lane++) L[lane * W.LANE + W.D_EVENT] = L[lane * W.LANE + W.D_BURN_TIME]!
  consider(w, W.PEAK_G, before)
  consider(w, W.MAX_SPEED, before)
  if (w.flags[W.AIR] !== W.NO_AIR) {
    consider(w, W.MAX_Q, before)
    consider(w, W.MAX_MACH, before)
  }
  atBurnout(w, before)
  w.flags[W.BURNING] = 0
  S[W.MASS] = S[W.DRY]!
  S[W.FLOW] = 0
  S[W.THRUST] = 0
  S[W.BACK] = 0
  copyState(before, after)
  if (before[W.ALTITUDE]! >= S[W.EDGE]!) climbLayer(w, before[W.ALTITUDE]!)
  reopen(w, after, true)
  jumpLanes(w, before, after)
  for (let lane = 0; lane < w.flags[W.LANES]!; lane++) {
    const at = lane * W.LANE
    L[at + W.D_MASS] = L[at + W.D_DRY]!
    L[at + W.D_FLOW] = 0
    L[at + W.D_THRUST] = 0
    L[at + W.D_BACK] = 0
  }
  consider(w, W.PEAK_G + 1, after)
  if (w.flags[W.AIR] !== W.NO_AIR) consider(w, W.MAX_Q + 1, after)
}

/** Rates on the far side of an event; where not the drag knot itself was met, its pieces are chosen anew by mach and its trend. */
function reopen(w: Workspace, after: Float64Array, choose: boolean): void {
  evaluate(w, after)
  if (!choose || w.flags[W.TABLE] === 0) return
  choosePieces(w, after[W.MACH]!, after[W.MACH_RATE]!)
  evaluate(w, after)
}

function copyState(before: Float64Array, after: Float64Array): void {
  after[W.ALTITUDE] = before[W.ALTITUDE]!
  after[W.SPEED] = before[W.SPEED]!
  after[W.TIME] = before[W.TIME]!
}

/** At fixed time a later event leaves more of the old rates and less of the new ones. */
function jumpLanes(w: Workspace, before: Float64Array, after: Float64Array): void {
  const L = w.lanes
  for (let lane = 0; lane < w.flags[W.LANES]!; lane++) {
    const at = lane * W.LANE
    const later = L[at + W.D_EVENT]!
    L[at + W.D_SPEED]! += (before[W.ACCELERATION]! - after[W.ACCELERATION]!) * later
    L[at + W.D_DRAG_LOSS]! += (before[W.DRAG_RATE]! - after[W.DRAG_RATE]!) * later
    L[at + W.D_PRESSURE_LOSS]! += (before[W.PRESSURE_RATE]! - after[W.PRESSURE_RATE]!) * later
  }
}

/** Apoapsis: the coast's peaks may end here. */
function finish(w: Workspace, end: Float64Array): void {
  for (let lane = 0; lane < w.flags[W.LANES]!; lane++) {
    const at = lane * W.LANE
    const change = w.lanes[at + W.D_SPEED]!
    w.lanes[at + W.D_EVENT] = -change / end[W.ACCELERATION]!
  }
  consider(w, W.PEAK_G + 1, end)
}
