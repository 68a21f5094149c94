import { fitStep, riseAt, speedAt } from './hermite.ts'
import { accelerationChange, moveLanes, ownChange } from './lanes.ts'
import { densityBend, evaluate } from './rates.ts'
import { attempt } from './step.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/** Where a peak is taken: inside a step its own time drops out of its derivative; at an event it moves with `D_EVENT`. */
type Place = 'inside' | 'event'

/** Looks for peaks inside the step just accepted (not at its ends: those are `crossPeaks`'), by the signs of the rates at its ends. */
export function watch(w: Workspace, from: Float64Array, to: Float64Array): void {
  const phase = 1 - w.flags[W.BURNING]!
  const f0 = from[W.FELT_RATE]!
  const f1 = to[W.FELT_RATE]!
  if ((f0 > 0 && f1 < 0) || (f0 < 0 && f1 > 0 && (from[W.FELT]! < 0 || to[W.FELT]! < 0)))
    search(w, from, to, W.FELT_RATE, W.PEAK_G + phase)
  if (from[W.ACCELERATION]! > 0 && to[W.ACCELERATION]! < 0) search(w, from, to, W.ACCELERATION, W.MAX_SPEED)
  if (w.flags[W.AIR] === W.NO_AIR) return
  if (from[W.Q_RATE]! > 0 && to[W.Q_RATE]! < 0) search(w, from, to, W.Q_RATE, W.MAX_Q + phase)
  if (from[W.MACH_RATE]! > 0 && to[W.MACH_RATE]! < 0) search(w, from, to, W.MACH_RATE, W.MAX_MACH)
}

/**
 * Finds where a rate vanishes inside a step: each try is an exact evaluation at the state the Hermite gives, the next one by the
 * Illinois false position. Values are flat there, but an altitude is not: hence the narrow end.
 */
function search(w: Workspace, from: Float64Array, to: Float64Array, rate: number, place: number): void {
  const S = w.numbers
  const end = spare(w, from, to)
  const dt = S[W.STEP]!
  fitStep(w, from, to)
  let low = -1
  let high = 0
  let atLow = from[rate]!
  let atHigh = to[rate]!
  let e = low
  let side = 0
  for (let i = 0; i < 40; i++) {
    const next = high - (atHigh * (high - low)) / (atHigh - atLow)
    const moved = Math.abs(next - e)
    e = next > low && next < high ? next : 0.5 * (low + high)
    end[W.ALTITUDE] = to[W.ALTITUDE]! + riseAt(S, e)
    end[W.SPEED] = speedAt(S, e)
    end[W.TIME] = to[W.TIME]! + e * dt
    evaluate(w, end)
    const value = end[rate]!
    if (value === 0 || moved < 1e-10) break
    if (value > 0 === atLow > 0) {
      low = e
      atLow = value
      if (side === 1) atHigh *= 0.5
      side = 1
    } else {
      high = e
      atHigh = value
      if (side === -1) atLow *= 0.5
      side = -1
    }
  }
  if (!better(w, place, end)) return
  stepTo(w, from, end, e)
  take(w, place, end, 'inside')
}

/** Takes the step anew as far as place e: the peak's state and lanes as exact as a step's end, the lanes left in their X places. */
function stepTo(w: Workspace, from: Float64Array, end: Float64Array, e: number): void {
  const S = w.numbers
  const L = w.lanes
  const dt = S[W.STEP]!
  const lanes = w.flags[W.LANES]!
  S[W.STEP] = (1 + e) * dt
  attempt(w, from, end)
  evaluate(w, end)
  for (let lane = 0; lane < lanes; lane++) {
    const at = lane * W.LANE
    for (let k = 0; k < 4; k++) L[at + W.D_KEPT + k] = L[at + k]!
    L[at + W.D_ALTITUDE] = L[at + W.D_ALTITUDE_0]!
    L[at + W.D_SPEED] = L[at + W.D_SPEED_0]!
  }
  if (lanes !== 0) moveLanes(w, from)
  for (let lane = 0; lane < lanes; lane++) {
    const at = lane * W.LANE
    L[at + W.D_ALTITUDE_X] = L[at + W.D_ALTITUDE]!
    L[at + W.D_SPEED_X] = L[at + W.D_SPEED]!
    for (let k = 0; k < 4; k++) L[at + k] = L[at + W.D_KEPT + k]!
  }
  S[W.STEP] = dt
}

/** The end of a step that is neither of these two. */
export function spare(w: Workspace, a: Float64Array, b: Float64Array): Float64Array {
  const [first, second, third] = w.ends
  if (first !== a && first !== b) return first
  return second !== a && second !== b ? second : third
}

function watched(place: number, end: Float64Array): number {
  if (place < W.MAX_Q) return Math.abs(end[W.FELT]!)
  if (place < W.MAX_SPEED) return end[W.Q]!
  return place === W.MAX_SPEED ? end[W.SPEED]! : end[W.MACH]!
}

function better(w: Workspace, place: number, end: Float64Array): boolean {
  return watched(place, end) > w.best[place]!
}

/** Takes an end at an event (release, edge, knot, burnout, apoapsis) for a peak if it is the largest so far; D_EVENT must be set. */
export function consider(w: Workspace, place: number, end: Float64Array): void {
  if (!better(w, place, end)) return
  const L = w.lanes
  for (let lane = 0; lane < w.flags[W.LANES]!; lane++) {
    const at = lane * W.LANE
    L[at + W.D_ALTITUDE_X] = L[at + W.D_ALTITUDE]!
    L[at + W.D_SPEED_X] = L[at + W.D_SPEED]!
  }
  take(w, place, end, 'event')
}

function take(w: Workspace, place: number, end: Float64Array, where: Place): void {
  const lanes = w.flags[W.LANES]!
  w.best[place] = watched(place, end)
  const isQ = place >= W.MAX_Q && place < W.MAX_SPEED
  const altitude = W.MAX_Q_ALTITUDE + place - W.MAX_Q
  if (isQ) {
    w.best[altitude] = end[W.ALTITUDE]!
    w.best[W.MAX_Q_TIME + place - W.MAX_Q] = end[W.TIME]!
  }
  for (let lane = 0; lane < lanes; lane++) {
    const at = lane * W.LANE
    const h = w.lanes[at + W.D_ALTITUDE_X]!
    const v = w.lanes[at + W.D_SPEED_X]!
    const dt = where === 'event' ? w.lanes[at + W.D_EVENT]! : 0
    w.bestSlopes[place * lanes + lane] = changeOf(w, place, end, lane, h, v, dt)
    if (!isQ) continue
    const shift = where === 'event' ? dt : peakShift(w, end, lane, h, v)
    w.bestSlopes[altitude * lanes + lane] = h + end[W.SPEED]! * shift
  }
}

/** Derivative of the watched value where altitude, speed and time change by h, v, dt. */
function changeOf(
  w: Workspace,
  place: number,
  end: Float64Array,
  lane: number,
  h: number,
  v: number,
  dt: number,
): number {
  const speed = end[W.SPEED]!
  if (place < W.MAX_Q) {
    // Felt acceleration is the acceleration less gravity's share.
    const r = w.numbers[W.RADIUS]! + end[W.ALTITUDE]!
    const gravity = end[W.FELT]! - end[W.ACCELERATION]!
    const change = accelerationChange(w, lane, end, h, v) - ((2 * gravity) / r) * h + end[W.FELT_RATE]! * dt
    return end[W.FELT]! < 0 ? -change : change
  }
  if (place < W.MAX_SPEED)
    return 0.5 * end[W.DENSITY_SLOPE]! * speed * speed * h + end[W.DENSITY]! * speed * v + end[W.Q_RATE]! * dt
  if (place === W.MAX_SPEED) return v + end[W.ACCELERATION]! * dt
  return end[W.SLOWNESS]! * v + speed * end[W.SLOWNESS_SLOPE]! * h + end[W.MACH_RATE]! * dt
}

/** By how much the time of a peak of q inside a step moves: there G = ρ'v²/ρ + 2a vanishes, so δt = −(G_h δh + G_v δv + G_θ)/Ġ. */
function peakShift(w: Workspace, end: Float64Array, lane: number, h: number, v: number): number {
  const speed = end[W.SPEED]!
  const share = end[W.DENSITY_SLOPE]! / end[W.DENSITY]!
  const bend = densityBend(w, end[W.ALTITUDE]!) / end[W.DENSITY]! - share * share
  const byAltitude = speed * speed * bend + 2 * end[W.RECORD + W.BY_ALTITUDE]!
  const bySpeed = 2 * speed * share + 2 * end[W.RECORD + W.BY_SPEED]!
  const lighter = w.numbers[W.FLOW]! * end[W.RECORD + W.INVERSE_MASS]!
  const inTime = byAltitude * speed + bySpeed * end[W.ACCELERATION]! + 2 * end[W.FELT]! * lighter
  return -(byAltitude * h + bySpeed * v + 2 * ownChange(w, lane, end)) / inTime
}

/** One side of an edge or knot: a peak may stand there where a value rises before and falls after, or jumps. */
export function crossPeaks(w: Workspace, before: Float64Array, after: Float64Array, side: Float64Array): void {
  const phase = 1 - w.flags[W.BURNING]!
  crossPeak(w, W.PEAK_G + phase, before, after, side, W.FELT_RATE)
  crossPeak(w, W.MAX_SPEED, before, after, side, W.ACCELERATION)
  if (w.flags[W.AIR] !== W.NO_AIR) {
    crossPeak(w, W.MAX_Q + phase, before, after, side, W.Q_RATE)
    crossPeak(w, W.MAX_MACH, before, after, side, W.MACH_RATE)
  } else if (side === before) {
    consider(w, W.MAX_Q + phase, before)
    consider(w, W.MAX_MACH, before)
  }
}

function crossPeak(
  w: Workspace,
  place: number,
  before: Float64Array,
  after: Float64Array,
  side: Float64Array,
  rate: number,
): void {
  const jump = watched(place, after) - watched(place, before)
  const rises = trend(place, before, rate) >= 0
  const falls = trend(place, after, rate) <= 0
  if (side === before ? rises && (falls || jump < 0) : falls && jump > 0) consider(w, place, side)
}

/** The rate of the value itself: felt acceleration counts either way. */
function trend(place: number, end: Float64Array, rate: number): number {
  return place < W.MAX_Q && end[W.FELT]! < 0 ? -end[rate]! : end[rate]!
}
