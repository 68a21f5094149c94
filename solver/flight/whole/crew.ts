import { curveAt, curveSlope } from '../../model/curve.ts'
import type { CrewLimit } from './plan.ts'

/** One moment of what is felt: time [s], felt acceleration [m/s2], its rate; its change by lane at fixed time; at a jump (two moments of one time) and at the ends how the time moves. */
export interface Felt {
  readonly time: number
  readonly felt: number
  readonly rate: number
  readonly slopes: Float64Array
  readonly shift: Float64Array | null
}

/** What a rider feels, written down moment by moment; between two of them it is the cubic with their values and rates. */
export type Trace = Felt[]

/** A ratio with its derivatives. */
export interface Ratio {
  readonly value: number
  readonly slopes: Float64Array
}

/** The limit for a duration [s]: held outside its rows. */
function limitAt({ curve, overLogarithm }: CrewLimit, duration: number): number {
  return curveAt(curve, overLogarithm ? Math.log(duration) : duration)
}

function limitSlope({ curve, overLogarithm }: CrewLimit, duration: number): number {
  return overLogarithm ? curveSlope(curve, Math.log(duration)) / duration : curveSlope(curve, duration)
}

/**
 * The least ratio, over all durations d, of the limit for d to the largest acceleration that is felt for d without a break: the largest over all
 * windows of that length of the least inside. For each moment taken as the least, the widest window around it comes from one pass with
 * a stack; the best is then refined between the moments. Null where nothing is felt. The limit must not rise with duration.
 */
export function worstRatio(moments: Trace, limit: CrewLimit): Ratio | null {
  const trace = withTurns(moments)
  const best = coarse(trace, limit)
  if (best === null) return null
  const top = highest(trace, best.left, best.right)
  const ratio = (level: number): number => {
    const { begin, end } = around(trace, top, level)
    return limitAt(limit, Math.max(0, end - begin)) / level
  }
  const level = refine(trace, best, top, ratio)
  return { value: ratio(level), slopes: slopesOf(trace, limit, top, level, ratio) }
}

/** The same with the moments between at which the cubics turn: what is felt least inside a window may lie there. */
function withTurns(moments: Trace): Trace {
  const trace: Trace = []
  moments.forEach((a, k) => {
    trace.push(a)
    const b = moments[k + 1]
    const dt = b ? b.time - a.time : 0
    if (!b || !(dt > 0) || !(a.rate * b.rate < 0)) return
    let [low, high] = [0, 1]
    for (let round = 0; round < 50; round++) {
      const x = 0.5 * (low + high)
      if (slopeAt(a, b, dt, x) > 0 === a.rate > 0) low = x
      else high = x
    }
    const slopes = a.slopes.map((slope, l) => slope + low * (b.slopes[l]! - slope))
    trace.push({ time: a.time + low * dt, felt: valueAt(a, b, dt, low), rate: 0, slopes, shift: null })
  })
  return trace
}

interface Window {
  readonly node: number
  readonly left: number
  readonly right: number
}

/** The moment whose own level gives the least ratio, with the outermost moments inside its window. */
function coarse(trace: Trace, limit: CrewLimit): Window | null {
  const lower = nearestLower(trace)
  let best: Window | null = null
  let least = Number.POSITIVE_INFINITY
  for (let node = 0; node < trace.length; node++) {
    const level = trace[node]!.felt
    if (!(level > 0)) continue
    const left = lower.left[node]! + 1
    const right = lower.right[node]! - 1
    const begin = left === 0 ? trace[0]!.time : straight(trace, left - 1, level)
    const end = right === trace.length - 1 ? trace[right]!.time : straight(trace, right, level)
    const ratio = limitAt(limit, Math.max(0, end - begin)) / level
    if (!(ratio < least)) continue
    least = ratio
    best = { node, left, right }
  }
  return best
}

/** For each moment the nearest one before and after it at which less is felt. */
function nearestLower(trace: Trace): { left: Int32Array; right: Int32Array } {
  const left = new Int32Array(trace.length)
  const right = new Int32Array(trace.length).fill(trace.length)
  const stack: number[] = []
  trace.forEach(({ felt }, k) => {
    while (stack.length > 0 && trace[stack[stack.length - 1]!]!.felt > felt) right[stack.pop()!] = k
    const below = stack[stack.length - 1] ?? -1
    // One as high stands inside the window too.
    left[k] = below >= 0 && trace[below]!.felt === felt ? left[below]! : below
    stack.push(k)
  })
  return { left, right }
}

function highest(trace: Trace, left: number, right: number): number {
  let top = left
  for (let k = left; k <= right; k++) if (trace[k]!.felt > trace[top]!.felt) top = k
  return top
}

/** About when the level is passed between moment k and the next, by a straight line. */
function straight(trace: Trace, k: number, level: number): number {
  const [a, b] = [trace[k]!, trace[k + 1]!]
  return a.time + ((b.time - a.time) * (level - a.felt)) / (b.felt - a.felt)
}

/** When the level is passed between moment k and the next, which lie on both sides of it. */
function crossing(trace: Trace, k: number, level: number): number {
  const [a, b] = [trace[k]!, trace[k + 1]!]
  const dt = b.time - a.time
  if (!(dt > 0)) return b.time
  const rising = b.felt > a.felt
  let [low, high] = [0, 1]
  let x = (level - a.felt) / (b.felt - a.felt)
  for (let i = 0; i < 60 && high - low > 1e-15; i++) {
    const off = valueAt(a, b, dt, x) - level
    if (off > 0 === rising) high = x
    else low = x
    const next = x - off / slopeAt(a, b, dt, x)
    const kept = next > low && next < high ? next : 0.5 * (low + high)
    if (Math.abs(kept - x) < 1e-15) return a.time + kept * dt
    x = kept
  }
  return a.time + 0.5 * (low + high) * dt
}

function valueAt(a: Felt, b: Felt, dt: number, x: number): number {
  const c2 = 3 * (b.felt - a.felt) - dt * (2 * a.rate + b.rate)
  const c3 = 2 * (a.felt - b.felt) + dt * (a.rate + b.rate)
  return a.felt + x * (dt * a.rate + x * (c2 + x * c3))
}

/** Its change from the one moment to the other, per x. */
function slopeAt(a: Felt, b: Felt, dt: number, x: number): number {
  const c2 = 3 * (b.felt - a.felt) - dt * (2 * a.rate + b.rate)
  const c3 = 2 * (a.felt - b.felt) + dt * (a.rate + b.rate)
  return dt * a.rate + x * (2 * c2 + x * 3 * c3)
}

/** The window about a moment in which at least the level is felt: where it ends, and between which moments. */
function around(trace: Trace, top: number, level: number) {
  let left = top
  while (left > 0 && trace[left - 1]!.felt >= level) left--
  let right = top
  while (right < trace.length - 1 && trace[right + 1]!.felt >= level) right++
  return {
    left,
    right,
    begin: left === 0 ? trace[0]!.time : crossing(trace, left - 1, level),
    end: right === trace.length - 1 ? trace[right]!.time : crossing(trace, right, level),
  }
}

/** A level so near the least inside its window, as a share of it, is that; and a small step below it. */
const LEAST = 1e-9
const SMALL = 1e-6
const GOLDEN = (Math.sqrt(5) - 1) / 2

/** The level of the least ratio near the best moment's: a golden section between the levels of the moments about the window's ends. */
function refine(trace: Trace, { node, left, right }: Window, top: number, ratio: (level: number) => number): number {
  const level = trace[node]!.felt
  const most = trace[top]!.felt
  const at = (k: number): number => trace[Math.max(0, Math.min(trace.length - 1, k))]!.felt
  const inner = [at(left + 1), at(right - 1), at(left), at(right)].filter(value => value > level)
  const outer = [at(left - 1), at(right + 1), at(left), at(right)].filter(value => value < level)
  let low = outer.length > 0 ? Math.max(...outer) : level
  let high = inner.length > 0 ? Math.min(most, ...inner) : most
  let a = high - GOLDEN * (high - low)
  let b = low + GOLDEN * (high - low)
  let [atA, atB] = [ratio(a), ratio(b)]
  for (let i = 0; i < 60 && high - low > 1e-12 * most; i++) {
    if (atA < atB) {
      high = b
      b = a
      atB = atA
      a = high - GOLDEN * (high - low)
      atA = ratio(a)
    } else {
      low = a
      a = b
      atA = atB
      b = low + GOLDEN * (high - low)
      atB = ratio(b)
    }
  }
  const found = 0.5 * (low + high)
  const candidates = [found, level, most].filter(value => value > 0)
  return candidates.reduce((best, value) => (ratio(value) < ratio(best) ? value : best))
}

/**
 * At the best level the window's ends move with the flight and the level itself drops out, but where it is the least inside the window, above which that
 * falls apart: then it moves with that least. At the top only its height counts. Where the limit bends, the best window lasts just so long and the level gives way.
 */
function slopesOf(
  trace: Trace,
  limit: CrewLimit,
  top: number,
  level: number,
  ratio: (level: number) => number,
): Float64Array {
  const { felt: most } = trace[top]!
  const { left, right, begin, end } = around(trace, top, level)
  const duration = Math.max(0, end - begin)
  if (most - level < 1e-9 * most)
    return lift(trace, top).map(slope => (-limitAt(limit, duration) * slope) / (most * most))
  const steepness = limitSlope(limit, duration) / level
  const early = left === 0 ? trace[0]!.shift : endShift(trace, left - 1, begin)
  const late = right === trace.length - 1 ? trace[right]!.shift : endShift(trace, right, end)
  let lowest = left
  for (let k = left; k <= right; k++) if (trace[k]!.felt < trace[lowest]!.felt) lowest = k
  const bound = trace[lowest]!.felt - level < LEAST * level
  const moves = lift(trace, lowest).map((_, l) => (late?.[l] ?? 0) - (early?.[l] ?? 0))
  if (!bound && isKnot(limit, duration)) {
    const longer =
      (right === trace.length - 1 ? 0 : endPace(trace, right, end)) - (left === 0 ? 0 : endPace(trace, left - 1, begin))
    if (longer !== 0) return moves.map(move => (limitAt(limit, duration) * move) / (level * level * longer))
  }
  const byLevel = bound ? (ratio(level) - ratio(level * (1 - SMALL))) / (level * SMALL) : 0
  return lift(trace, lowest).map((up, l) => steepness * moves[l]! + byLevel * up)
}

/** How much more is felt at a moment, wherever it moves: at a jump, on either side of it. */
function lift(trace: Trace, k: number): Float64Array {
  const { time, rate, slopes, shift } = trace[k]!
  const next = trace[k + 1]
  const moves = shift ?? (next?.time === time ? next.shift : null)
  return moves ? slopes.map((slope, l) => slope + rate * moves[l]!) : slopes
}

/** Whether a limit has a row at a duration: it may bend there. */
function isKnot({ curve, overLogarithm }: CrewLimit, duration: number): boolean {
  return curve.knots.some(knot => Math.abs((overLogarithm ? Math.exp(knot) : knot) - duration) <= SMALL * duration)
}

/** How much later a level is passed between moment k and the next for each unit of it more: not at all at a jump. */
function endPace(trace: Trace, k: number, time: number): number {
  const [a, b] = [trace[k]!, trace[k + 1]!]
  const dt = b.time - a.time
  return dt > 0 ? dt / slopeAt(a, b, dt, (time - a.time) / dt) : 0
}

/** How the time moves at which a level is passed between moment k and the next. */
function endShift(trace: Trace, k: number, time: number): Float64Array {
  const [a, b] = [trace[k]!, trace[k + 1]!]
  const dt = b.time - a.time
  if (!(dt > 0)) return b.shift ?? new Float64Array(a.slopes.length)
  const x = (time - a.time) / dt
  const rate = slopeAt(a, b, dt, x) / dt
  return a.slopes.map((slope, l) => -(slope * (1 - x) + b.slopes[l]! * x) / rate)
}
