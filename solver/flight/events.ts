import { fitMach, fitStep, machAt, machPushAt, pushAt, riseAt, speedAt } from './hermite.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/** How far beyond its end a step may be extrapolated to an event, as a share of the step. */
export const REACH = 0.05

/**
 * Chooses the step: what error control would take, less before burnout, or the time to the next event where that is nearer.
 * The estimate of that time is rough; `earliest` finds where the step really met the event.
 */
export function aim(w: Workspace, from: Float64Array): void {
  const S = w.numbers
  const I = w.flags
  let step = S[W.NATURAL]!
  I[W.LAST] = 0
  let rest = Number.POSITIVE_INFINITY
  if (I[W.BURNING] === 1) {
    rest = S[W.BURN_TIME]! - from[W.TIME]!
    if (step > 0.999 * rest) {
      step = rest
      I[W.LAST] = 1
    } else if (step > 0.55 * rest) step = 0.55 * rest
  }
  const v = from[W.SPEED]!
  const a = from[W.ACCELERATION]!
  const j = from[W.JERK]!
  let near = rest
  const rise = S[W.EDGE]! - from[W.ALTITUDE]!
  const reached = v * v + 2 * a * rise
  if (reached > 0) {
    let t = (2 * rise) / (v + Math.sqrt(reached))
    const pace = v + t * (a + 0.5 * j * t)
    if (pace > 0) t -= (t * (v + t * (0.5 * a + (t * j) / 6)) - rise) / pace
    if (t > 0 && t < near) near = t
  }
  if (I[W.TABLE] === 1) {
    const rate = from[W.MACH_RATE]!
    const ahead = (rate > 0 ? S[W.MACH_HIGH]! : S[W.MACH_LOW]!) - from[W.MACH]!
    if (ahead !== 0 && ahead > 0 === rate > 0) {
      const bend = j * from[W.SLOWNESS]!
      const met = rate * rate + 2 * bend * ahead
      if (met > 0) {
        const t = (2 * ahead) / (rate + (rate > 0 ? Math.sqrt(met) : -Math.sqrt(met)))
        if (t > 0 && t < near) near = t
      }
    }
  }
  if (I[W.BURNING] === 0 && v > 0) {
    const t = -v / (a - (0.5 * j * v) / a)
    if (t > 0 && t < near) near = t
  }
  if (near <= 1.02 * step && near < rest) {
    step = near
    I[W.LAST] = 0
  }
  S[W.STEP] = step
}

/** The first event that the step met or stopped just short of, its place in `EVENT`; NONE where there is none. */
export function earliest(w: Workspace, from: Float64Array, to: Float64Array): number {
  const S = w.numbers
  const I = w.flags
  const reach = I[W.LAST] === 1 ? 0 : REACH
  const ahead = 1.2 * reach * S[W.STEP]!
  const apoapsis = I[W.BURNING] === 0 && to[W.SPEED]! + ahead * to[W.ACCELERATION]! <= 0
  const top = to[W.ALTITUDE]! + ahead * Math.max(0, to[W.SPEED]!)
  let found = W.NONE
  let end = reach
  if (apoapsis || top >= S[W.EDGE]!) {
    fitStep(w, from, to)
    if (apoapsis && speedAt(S, end) <= 0) {
      end = root(S, W.APOAPSIS, 0, -1, end)
      found = W.APOAPSIS
    }
    const edge = S[W.EDGE]! - to[W.ALTITUDE]!
    if (riseAt(S, end) >= edge) {
      end = root(S, W.LAYER_EDGE, edge, -1, end)
      found = W.LAYER_EDGE
    }
  }
  if (I[W.TABLE] === 1) {
    const knot = machEvent(w, from, to, end, ahead)
    if (knot !== W.NONE) {
      found = knot
      end = S[W.ROOT]!
    }
  }
  // What is left of the burn behind such an event would be nothing: burnout itself comes first.
  if (found !== W.NONE && I[W.LAST] === 1 && end > -1e-10) return W.NONE
  S[W.EVENT] = end
  return found
}

/** The first passing of a mach knot before place `end`, left in `ROOT`: up through the upper, down through the lower one. */
function machEvent(w: Workspace, from: Float64Array, to: Float64Array, end: number, ahead: number): number {
  const S = w.numbers
  const rate0 = from[W.MACH_RATE]!
  const rate1 = to[W.MACH_RATE]!
  const turns = rate0 > 0 !== rate1 > 0
  const there = to[W.MACH]! + ahead * rate1
  const high = S[W.MACH_HIGH]!
  const low = S[W.MACH_LOW]!
  if (!turns && there < high && there > low && to[W.MACH]! < high && to[W.MACH]! > low) return W.NONE
  fitMach(w, from, to)
  const turn = turns ? root(S, W.NONE, 0, -1, 0) : end
  let begin = -1
  let rising = rate0 > 0 || (rate0 === 0 && rate1 > 0)
  for (let part = 0; part < 2; part++) {
    const stop = part === 0 ? Math.min(turn, end) : end
    const mach = machAt(S, stop)
    if (rising && mach >= high) {
      S[W.ROOT] = root(S, W.MACH_UP, high, begin, stop)
      return W.MACH_UP
    }
    if (!rising && mach <= low) {
      S[W.ROOT] = root(S, W.MACH_DOWN, low, begin, stop)
      return W.MACH_DOWN
    }
    if (!turns || turn >= end) break
    begin = turn
    rising = !rising
  }
  return W.NONE
}

/** Where in a fitted step (see `fitStep`) altitude passes `rise` above that of its end, which it does once. */
export function placeOfRise(S: Float64Array, rise: number): number {
  return root(S, W.LAYER_EDGE, rise, -1, 0)
}

/** Newton's iteration kept inside a bracket [low, high] over which the curve of that kind passes `target` once. */
function root(S: Float64Array, kind: number, target: number, low: number, high: number): number {
  const before = valueAt(S, kind, low) - target
  let e = Math.max(low, Math.min(high, 0))
  for (let i = 0; i < 60; i++) {
    const value = valueAt(S, kind, e) - target
    if (value === 0) return e
    if (value > 0 === before > 0) low = e
    else high = e
    const next = e - value / slopeAt(S, kind, e)
    const kept = next > low && next < high ? next : 0.5 * (low + high)
    if (Math.abs(kept - e) < 1e-15) return kept
    e = kept
  }
  return e
}

function valueAt(S: Float64Array, kind: number, e: number): number {
  if (kind === W.LAYER_EDGE) return riseAt(S, e)
  if (kind === W.APOAPSIS) return speedAt(S, e)
  return kind === W.NONE ? machPushAt(S, e) : machAt(S, e)
}

function slopeAt(S: Float64Array, kind: number, e: number): number {
  if (kind === W.LAYER_EDGE) return S[W.STEP]! * speedAt(S, e)
  if (kind === W.APOAPSIS) return pushAt(S, e)
  if (kind === W.NONE) return 2 * S[W.MACH_HERMITE + 2]! + 6 * e * S[W.MACH_HERMITE + 3]!
  return machPushAt(S, e)
}
