import { fitMach, fitStep, machAt, machBendAt, machPushAt, pushAt, riseAt, speedAt } from './hermite.ts'
import type { End, StepEvent, Workspace } from './workspace.ts'

/** How far beyond its end a step may be extrapolated to an event, as a share of the step. */
export const REACH = 0.05

/**
 * Chooses the step: what error control would take, less before what comes by the clock, or the time to the next event where that is nearer.
 * The estimate of that time is rough; `earliest` finds where the step really met the event.
 */
export function aim(w: Workspace, from: End): void {
  let step = w.natural
  const rest = w.until - from.time
  w.last = false
  if (step > 0.999 * rest) {
    step = rest
    w.last = true
  } else if (step > 0.55 * rest) step = 0.55 * rest
  const near = Math.min(timeToEdge(w, from, 1.02 * step), timeToKnot(w, from), timeToApoapsis(w, from, 1.02 * step))
  if (near <= 1.02 * step && near < rest) {
    step = near
    w.last = false
  }
  w.step = step
}

/** About when the layer's top is met; Infinity where that is well beyond `horizon`. */
function timeToEdge(w: Workspace, from: End, horizon: number): number {
  const { speed: v, acceleration: a, jerk: j } = from
  const rise = w.edge - from.altitude
  const ahead = horizon * (v + horizon * (0.5 * Math.abs(a) + (Math.abs(j) * horizon) / 6))
  const reached = v * v + 2 * a * rise
  if (!(ahead > 0.9 * rise && reached > 0)) return Number.POSITIVE_INFINITY
  const t = (2 * rise) / (v + Math.sqrt(reached))
  const pace = v + t * (a + 0.5 * j * t)
  const refined = pace > 0 ? t - (t * (v + t * (0.5 * a + (t * j) / 6)) - rise) / pace : t
  return refined > 0 ? refined : Number.POSITIVE_INFINITY
}

function timeToKnot(w: Workspace, from: End): number {
  if (!w.table) return Number.POSITIVE_INFINITY
  const rate = from.machRate
  const ahead = (rate > 0 ? w.machHigh : w.machLow) - from.mach
  const met = rate * rate + 2 * from.jerk * from.slowness * ahead
  if (ahead === 0 || ahead > 0 !== rate > 0 || !(met > 0)) return Number.POSITIVE_INFINITY
  const t = (2 * ahead) / (rate + (rate > 0 ? Math.sqrt(met) : -Math.sqrt(met)))
  return t > 0 ? t : Number.POSITIVE_INFINITY
}

function timeToApoapsis(w: Workspace, from: End, horizon: number): number {
  const { speed: v, acceleration: a, jerk: j } = from
  if (w.burning || !(v < 2 * horizon * Math.abs(a))) return Number.POSITIVE_INFINITY
  const t = -v / (a - (0.5 * j * v) / a)
  return t > 0 ? t : Number.POSITIVE_INFINITY
}

/** The first event that the step met or stopped just short of, its place in `w.place`; 'none' where there is none. */
export function earliest(w: Workspace, from: End, to: End): StepEvent {
  // What comes by the clock is not stepped over, however near behind it an event lies.
  const reach = w.last ? 0 : Math.max(0, Math.min(REACH, (w.until - to.time) / w.step))
  const ahead = 1.2 * reach * w.step
  const falls = !w.burning && to.speed + ahead * to.acceleration <= 0
  const top = to.altitude + ahead * Math.max(0, to.speed)
  let found: StepEvent = 'none'
  let end = reach
  if (falls || top >= w.edge) {
    fitStep(w, from, to)
    if (falls && speedAt(w, end) <= 0) {
      end = root(w, 'speed', 0, -1, end)
      found = 'apoapsis'
    }
    const rise = w.edge - to.altitude
    if (riseAt(w, end) >= rise) {
      end = placeOfRise(w, rise, end)
      found = 'edge'
    }
  }
  if (w.table) {
    w.place = end
    const knot = machEvent(w, from, to, ahead)
    if (knot !== 'none') {
      found = knot
      end = w.place
    }
  }
  // What is left of the phase behind such an event would be nothing: its end by the clock comes first.
  if (found !== 'none' && w.last && end > -1e-10) return 'none'
  w.place = end
  return found
}

/** The first passing of a mach knot before `w.place`, put there: up through the upper one, down through the lower. */
function machEvent(w: Workspace, from: End, to: End, ahead: number): StepEvent {
  const rate0 = from.machRate
  const rate1 = to.machRate
  const turns = rate0 > 0 !== rate1 > 0
  const there = to.mach + ahead * rate1
  const { machHigh: high, machLow: low, place: end } = w
  if (!turns && there < high && there > low && to.mach < high && to.mach > low) return 'none'
  fitMach(w, from, to)
  const turn = turns ? root(w, 'mach rate', 0, -1, 0) : end
  let begin = -1
  let rising = rate0 > 0 || (rate0 === 0 && rate1 > 0)
  for (let part = 0; part < 2; part++) {
    const stop = part === 0 ? Math.min(turn, end) : end
    const mach = machAt(w, stop)
    if (rising && mach >= high) {
      w.place = root(w, 'mach', high, begin, stop)
      return 'mach up'
    }
    if (!rising && mach <= low) {
      w.place = root(w, 'mach', low, begin, stop)
      return 'mach down'
    }
    if (!turns || turn >= end) break
    begin = turn
    rising = !rising
  }
  return 'none'
}

/** Where in a fitted step altitude passes `rise` above that of its end, which it does once before `end`. */
export function placeOfRise(w: Workspace, rise: number, end: number): number {
  return root(w, 'rise', rise, -1, end)
}

/** What is followed through a fitted step. */
type Followed = 'rise' | 'speed' | 'mach' | 'mach rate'

/** Newton's iteration kept inside a bracket [low, high] in which what is followed passes `target` once. */
function root(w: Workspace, what: Followed, target: number, low: number, high: number): number {
  const before = valueAt(w, what, low) - target
  let e = Math.max(low, Math.min(high, 0))
  for (let i = 0; i < 60; i++) {
    const off = valueAt(w, what, e) - target
    if (off === 0) return e
    if (off > 0 === before > 0) low = e
    else high = e
    const next = e - off / slopeAt(w, what, e)
    const kept = next > low && next < high ? next : 0.5 * (low + high)
    if (Math.abs(kept - e) < 1e-14) return kept
    e = kept
  }
  return e
}

function valueAt(w: Workspace, what: Followed, e: number): number {
  if (what === 'rise') return riseAt(w, e)
  if (what === 'speed') return speedAt(w, e)
  return what === 'mach' ? machAt(w, e) : machPushAt(w, e)
}

function slopeAt(w: Workspace, what: Followed, e: number): number {
  if (what === 'rise') return w.step * speedAt(w, e)
  if (what === 'speed') return pushAt(w, e)
  return what === 'mach' ? machPushAt(w, e) : machBendAt(w, e)
}
