import { choosePieces, crossKnot } from './drag.ts'
import { aim, earliest, REACH } from './events.ts'
import { fitStep, riseAt, speedAt } from './hermite.ts'
import { jumpLanes, shiftLanes } from './lanes.ts'
import { climbLayer } from './layers.ts'
import { considerAll, crossPeaks, spare, watch } from './peaks.ts'
import { evaluate } from './rates.ts'
import { attempt, judge, moveLanes } from './step.ts'
import type { End, Lane, StepEvent, Workspace } from './workspace.ts'

/** What follows a flight: each accepted step between its two evaluated ends, each event with both its sides, and the end. */
export interface Follower {
  readonly step: (w: Workspace, from: End, to: End) => void
  readonly event: (w: Workspace, byClock: boolean, before: End, after: End) => void
  readonly end: (w: Workspace, ascent: AscentEnd) => void
}

/**
 * Keeps what comes by the clock at `w.until`: changes the forces, from the last end before it to the first one after, which has the same time, and sets
 * when the next thing comes. False where this integration cannot follow it.
 */
export type Keeper = (w: Workspace, before: End, after: End) => boolean

/** Where the ascent ended: at apoapsis in air, coasting above all air, or nowhere (it could not be integrated). */
export type AscentEnd =
  | { readonly kind: 'apoapsis'; readonly end: End }
  | { readonly kind: 'vacuum'; readonly end: End }
  | { readonly kind: 'lost' }

const LOST: AscentEnd = { kind: 'lost' }

/**
 * Integrates from release to apoapsis, or to the coast above all air, restarting at what comes by the clock, at layer edges and real drag knots.
 * At most `limit` steps are tried.
 */
export function ascend(w: Workspace, limit: number, keep: Keeper, follower: Follower | null): AscentEnd {
  let from = w.ends[0]
  let to = w.ends[1]
  if (!start(w, from)) return LOST
  for (let tries = limit; tries > 0; ) {
    aim(w, from)
    let event: StepEvent = 'none'
    for (;;) {
      if (tries-- === 0) return LOST
      attempt(w, from, to)
      evaluate(w, to)
      judge(w, from, to)
      if (!(w.error <= 1)) {
        // A step that gives no number at all is cut as far as one may be.
        w.step *= w.error > 1 ? growth(w.error) : 0.2
        w.natural = w.step
        w.last = false
        continue
      }
      event = earliest(w, from, to)
      if (event === 'none' || w.place >= -REACH) break
      // Too far beyond the event: once more, to where it seems to be.
      w.step *= 1 + w.place
      w.last = false
    }
    accept(w, from, to, event)
    if (follower) follower.step(w, from, to)
    if (mayTurn(w, from, to)) return LOST
    if (event === 'apoapsis') {
      if (w.until < Number.POSITIVE_INFINITY) return LOST
      finish(w, to)
      return { kind: 'apoapsis', end: to }
    }
    if (w.last || event !== 'none') {
      const byClock = event === 'none'
      const next = spare(w, from, to)
      if (!byClock) {
        cross(w, event, to, next)
        if (event !== 'edge' && isHeld(to.machRate, next.machRate, w.gravity * to.slowness)) return LOST
      } else if (!keep(w, to, next)) return LOST
      if (follower) follower.event(w, byClock, to, next)
      if (w.airKind === 'none' && w.until === Number.POSITIVE_INFINITY) return { kind: 'vacuum', end: next }
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
function start(w: Workspace, end: End): boolean {
  evaluate(w, end)
  if (w.table) {
    choosePieces(w, end.mach, 1)
    evaluate(w, end)
  }
  const { acceleration: a, jerk: j } = end
  // 300 m at the acceleration of release, or, where that is small, at its growth.
  const byPush = a > 0 ? Math.sqrt(600 / a) : Number.POSITIVE_INFINITY
  const byJerk = j > 0 ? Math.cbrt(1800 / j) : Number.POSITIVE_INFINITY
  w.natural = Math.min(byPush, byJerk, w.until / 5)
  considerAll(w, end)
  return w.natural > 0
}

/** Takes the step over: next step size, losses and lanes; lands on the event; looks for peaks inside. */
function accept(w: Workspace, from: End, to: End, event: StepEvent): void {
  const next = w.step * (w.error > 0 ? growth(w.error) : 5)
  // A step cut short by an event says little of the next one.
  w.natural = event === 'none' && !w.last ? next : Math.max(w.natural, next)
  if (w.losing) {
    w.dragLoss += w.stepDragLoss
    w.pressureLoss += w.stepPressureLoss
  }
  if (w.laneCount !== 0) moveLanes(w, from)
  if (event !== 'none') land(w, from, to, event)
  else if (w.last) to.time = w.until
  watch(w, from, to)
}

/** Moves the step's end to the event. */
function land(w: Workspace, from: End, to: End, event: StepEvent): void {
  const { place: e, step: dt } = w
  fitStep(w, from, to)
  if (w.losing) {
    w.dragLoss += dt * partOf(from.dragLoss, from.dragLossRate * dt, to.dragLoss, to.dragLossRate * dt, e)
    w.pressureLoss +=
      dt * partOf(from.pressureLoss, from.pressureLossRate * dt, to.pressureLoss, to.pressureLossRate * dt, e)
  }
  if (w.laneCount !== 0) shiftLanes(w, from, to, e)
  to.altitude = event === 'edge' ? w.edge : to.altitude + riseAt(w, e)
  to.speed = event === 'apoapsis' ? 0 : speedAt(w, e)
  to.time += e * dt
  w.step = (1 + e) * dt
  evaluate(w, to)
}

/** Integral from the step's end to place e of the cubic with these values and rates per step at both ends. */
function partOf(value0: number, rate0: number, value1: number, rate1: number, e: number): number {
  const fall = value0 - value1
  const c3 = rate0 + rate1 + 2 * fall
  const c2 = c3 + fall + rate1
  return e * (value1 + e * (rate1 / 2 + e * (c2 / 3 + (e * c3) / 4)))
}

/** Passes a layer edge or a drag knot: the other side's rates, the lanes' jump and the peaks that may stand there. */
function cross(w: Workspace, event: StepEvent, before: End, after: End): void {
  for (let l = 0; l < w.laneCount; l++) {
    const lane = w.lanes[l]!
    const { speed } = before
    lane.event =
      event === 'edge'
        ? -lane.altitude / speed
        : -(before.slowness * lane.speed + speed * before.slownessSlope * lane.altitude) / before.machRate
  }
  copyState(before, after)
  if (event === 'edge') climbLayer(w, before.altitude)
  else crossKnot(w, event === 'mach up')
  reopen(w, after, event === 'edge')
  // Each side's peaks are taken with the lanes of that side.
  crossPeaks(w, before, after, before)
  jumpLanes(w, before, after)
  crossPeaks(w, before, after, after)
}

/** Share of what gravity alone would change mach by that counts as a rate. */
const SOME_RATE = 1e-9

/**
 * Whether drag that jumps at a mach number holds the rocket there: too little of it on the one side, too much on the other. None of our steps can follow that;
 * `scale`: gravity over the speed of sound.
 */
export function isHeld(before: number, after: number, scale: number): boolean {
  return before > 0 !== after > 0 && Math.min(Math.abs(before), Math.abs(after)) > SOME_RATE * scale
}

/**
 * Whether a burn in flight has come so near to standing still, losing speed, that it may have turned within the step. Off the pad it cannot: thrust has passed
 * weight, which only falls.
 */
function mayTurn(w: Workspace, from: End, to: End): boolean {
  if (w.phase < 2 || !w.burning || from.acceleration >= 0) return false
  return Math.min(from.speed, to.speed) < -from.acceleration * w.step
}

/** Puts an end behind a change of forces at the same place: copies it over, in the layer that begins there. */
export function openAfter(w: Workspace, before: End, after: End): void {
  copyState(before, after)
  if (before.altitude >= w.edge) climbLayer(w, before.altitude)
}

/** From now on no motor burns, and this is the mass; the lanes' is set by `coastLane`, once they have passed the moment. */
export function coast(w: Workspace, mass: number): void {
  w.burning = false
  w.phase++
  w.mass = mass
  w.flow = 0
  w.thrust = 0
  w.back = 0
}

/** What a lever does to the motion while nothing burns. */
export function coastLane(lane: Lane, mass: number): void {
  lane.mass = mass
  lane.flow = 0
  lane.thrust = 0
  lane.back = 0
}

/** Rates on the far side of an event; where not the drag knot itself was met, its pieces are chosen anew by mach and its trend. */
export function reopen(w: Workspace, after: End, choose: boolean): void {
  evaluate(w, after)
  if (!choose || !w.table) return
  choosePieces(w, after.mach, after.machRate)
  evaluate(w, after)
}

function copyState(before: End, after: End): void {
  after.altitude = before.altitude
  after.speed = before.speed
  after.time = before.time
}

/** Apoapsis: the coast's peaks may end here. */
function finish(w: Workspace, end: End): void {
  for (let l = 0; l < w.laneCount; l++) w.lanes[l]!.event = -w.lanes[l]!.speed / end.acceleration
  considerAll(w, end)
}
