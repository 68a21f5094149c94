import { fitStep, riseAt, speedAt } from './hermite.ts'
import { accelerationChange, ownChange } from './lanes.ts'
import { densityBend, evaluate } from './rates.ts'
import { attempt, moveLanes } from './step.ts'
import type { End, Peak, Workspace } from './workspace.ts'

/** The figures whose largest values are sought: felt acceleration (either way), dynamic pressure, speed, mach. */
type Watched = 'felt' | 'q' | 'speed' | 'mach'

function figureOf(what: Watched, end: End): number {
  if (what === 'felt') return Math.abs(end.felt)
  if (what === 'q') return end.q
  return what === 'speed' ? end.speed : end.mach
}

function rateOf(what: Watched, end: End): number {
  if (what === 'felt') return end.feltRate
  if (what === 'q') return end.qRate
  return what === 'speed' ? end.acceleration : end.machRate
}

function peakOf(w: Workspace, what: Watched): Peak {
  if (what === 'felt') return w.peakG[w.phase]!
  if (what === 'q') return w.maxQ[w.phase]!
  return what === 'speed' ? w.maxSpeed : w.maxMach
}

/** Derivative of a figure by lane l where altitude, speed and time change by h, v, t. */
function changeOf(w: Workspace, what: Watched, end: End, l: number, h: number, v: number, t: number): number {
  const { speed } = end
  if (what === 'q') return speed * (0.5 * end.densitySlope * speed * h + end.density * v) + end.qRate * t
  if (what === 'speed') return v + end.acceleration * t
  if (what === 'mach') return end.slowness * v + speed * end.slownessSlope * h + end.machRate * t
  // Felt acceleration is the acceleration less gravity's share.
  const fall = (2 * (end.felt - end.acceleration)) / (w.radius + end.altitude)
  const change = accelerationChange(w, l, end, h, v) - fall * h + end.feltRate * t
  return end.felt < 0 ? -change : change
}

/** Looks for peaks inside the step just accepted (its ends are for `considerAll` and `crossPeaks`), by the signs of the rates there. */
export function watch(w: Workspace, from: End, to: End): void {
  const { feltRate: f0 } = from
  const { feltRate: f1 } = to
  if ((f0 > 0 && f1 < 0) || (f0 < 0 && f1 > 0 && (from.felt < 0 || to.felt < 0))) search(w, from, to, 'felt')
  if (from.acceleration > 0 && to.acceleration < 0) search(w, from, to, 'speed')
  if (w.airKind === 'none') return
  if (from.qRate > 0 && to.qRate < 0) search(w, from, to, 'q')
  if (from.machRate > 0 && to.machRate < 0) search(w, from, to, 'mach')
}

/**
 * Finds where a rate vanishes inside a step, by the Illinois false position on exact evaluations at the states the Hermite gives; then
 * takes the step anew as far as there, so that the peak's state and lanes are as exact as a step's end.
 */
function search(w: Workspace, from: End, to: End, what: Watched): void {
  const dt = w.step
  const end = spare(w, from, to)
  fitStep(w, from, to)
  const before = rateOf(what, from)
  let low = -1
  let high = 0
  let atLow = before
  let atHigh = rateOf(what, to)
  let e = low
  let side = 0
  for (let i = 0; i < 40; i++) {
    const next = high - (atHigh * (high - low)) / (atHigh - atLow)
    const moved = Math.abs(next - e)
    e = next > low && next < high ? next : 0.5 * (low + high)
    end.altitude = to.altitude + riseAt(w, e)
    end.speed = speedAt(w, e)
    end.time = to.time + e * dt
    evaluate(w, end)
    const rate = rateOf(what, end)
    if (rate === 0 || moved < 1e-6) break
    if (rate > 0 === before > 0) {
      low = e
      atLow = rate
      if (side === 1) atHigh *= 0.5
      side = 1
    } else {
      high = e
      atHigh = rate
      if (side === -1) atLow *= 0.5
      side = -1
    }
  }
  const peak = peakOf(w, what)
  if (!(figureOf(what, end) > peak.value)) return
  w.step = (1 + e) * dt
  attempt(w, from, end)
  evaluate(w, end)
  lanesWithin(w, from)
  w.step = dt
  take(w, what, peak, end, false)
}

/** Lanes at the end of the part of a step that was just taken anew, left in their X places; the lanes themselves stay at its end. */
function lanesWithin(w: Workspace, from: End): void {
  const { laneCount, lanes } = w
  if (laneCount === 0) return
  const kept: number[] = []
  for (let l = 0; l < laneCount; l++) {
    const lane = lanes[l]!
    kept.push(lane.altitude, lane.speed, lane.dragLoss, lane.pressureLoss)
    lane.altitude = lane.altitude0
    lane.speed = lane.speed0
  }
  moveLanes(w, from)
  for (let l = 0; l < laneCount; l++) {
    const lane = lanes[l]!
    lane.altitudeX = lane.altitude
    lane.speedX = lane.speed
    lane.altitude = kept[4 * l]!
    lane.speed = kept[4 * l + 1]!
    lane.dragLoss = kept[4 * l + 2]!
    lane.pressureLoss = kept[4 * l + 3]!
  }
}

/** The end of a step that is neither of these two. */
export function spare(w: Workspace, a: End, b: End): End {
  const [first, second, third] = w.ends
  if (first !== a && first !== b) return first
  return second !== a && second !== b ? second : third
}

/** Takes an end at an event (release, edge, knot, burnout, apoapsis) for a peak if it is the largest so far; `lane.event` must be set. */
function consider(w: Workspace, what: Watched, end: End): void {
  const peak = peakOf(w, what)
  if (!(figureOf(what, end) > peak.value)) return
  for (let l = 0; l < w.laneCount; l++) {
    const lane = w.lanes[l]!
    lane.altitudeX = lane.altitude
    lane.speedX = lane.speed
  }
  take(w, what, peak, end, true)
}

/** Where a phase begins or ends every figure of it may have its peak. */
export function considerAll(w: Workspace, end: End): void {
  consider(w, 'felt', end)
  consider(w, 'speed', end)
  if (w.airKind !== 'none') considerAir(w, end)
}

function considerAir(w: Workspace, end: End): void {
  consider(w, 'q', end)
  consider(w, 'mach', end)
}

/** One side of an edge or knot: a peak may stand there where a value rises before and falls after, or jumps. */
export function crossPeaks(w: Workspace, before: End, after: End, side: End): void {
  const first = side === before
  const f0 = before.felt < 0 ? -before.feltRate : before.feltRate
  const f1 = after.felt < 0 ? -after.feltRate : after.feltRate
  if (stands(first, Math.abs(before.felt), f0, Math.abs(after.felt), f1)) consider(w, 'felt', side)
  if (stands(first, before.speed, before.acceleration, after.speed, after.acceleration)) consider(w, 'speed', side)
  if (w.airKind === 'none') {
    if (first) considerAir(w, before)
    return
  }
  if (stands(first, before.q, before.qRate, after.q, after.qRate)) consider(w, 'q', side)
  if (stands(first, before.mach, before.machRate, after.mach, after.machRate)) consider(w, 'mach', side)
}

/** Whether a local maximum stands on the first or the second side, by value and rate of both. */
function stands(first: boolean, value0: number, rate0: number, value1: number, rate1: number): boolean {
  return first ? rate0 >= 0 && (rate1 <= 0 || value1 < value0) : rate1 <= 0 && value1 > value0
}

/** Inside a step a peak's own time drops out of its derivative; at an event it moves with it. */
function take(w: Workspace, what: Watched, peak: Peak, end: End, atEvent: boolean): void {
  peak.value = figureOf(what, end)
  peak.altitude = end.altitude
  peak.time = end.time
  for (let l = 0; l < w.laneCount; l++) {
    const { altitudeX: h, speedX: v, event } = w.lanes[l]!
    peak.slopes[l] = changeOf(w, what, end, l, h, v, atEvent ? event : 0)
    if (what !== 'q') continue
    const shift = atEvent ? event : -steadiness(w, end, l, h, v) / trend(w, end)
    peak.altitudeSlopes[l] = h + end.speed * shift
  }
  if (what !== 'q' || atEvent) return
  // The place found on the Hermite, set right by one Newton step on the exact state; the value is flat there. At a bend inside a loose flight's step there is none.
  const off = -(end.densitySlope * end.speed * end.speed + 2 * end.density * end.acceleration) / end.density
  const later = off / trend(w, end)
  if (Math.abs(later) < 0.01 * w.step) peak.altitude += end.speed * later
}

/** At a peak of q inside a step G = ρ'v²/ρ + 2a vanishes: G's change by a lane at fixed time. */
function steadiness(w: Workspace, end: End, l: number, h: number, v: number): number {
  return byAltitude(w, end) * h + bySpeed(end) * v + 2 * ownChange(w, l, end)
}

/** G's rate along the motion: what it gains by altitude and speed, and by mass alone. */
function trend(w: Workspace, end: End): number {
  const lighter = w.flow / (w.mass - w.flow * end.time)
  return byAltitude(w, end) * end.speed + bySpeed(end) * end.acceleration + 2 * end.felt * lighter
}

function byAltitude(w: Workspace, end: End): number {
  const share = end.densitySlope / end.density
  const bend = densityBend(w, end.altitude) / end.density - share * share
  return end.speed * end.speed * bend + 2 * end.tangent.byAltitude
}

function bySpeed(end: End): number {
  return (2 * end.speed * end.densitySlope) / end.density + 2 * end.tangent.bySpeed
}
