import type { Craft } from './craft.ts'
import { complete } from './forces.ts'
import { copyNumbers, H, MASS, type Point, U, W } from './point.ts'

/** Something that a step may meet: `gap` rises through 0 there. */
export interface Watch {
  readonly kind:
    | 'edge'
    | 'mach'
    | 'apoapsis'
    | 'periapsis'
    | 'rail end'
    | 'space'
    | 'clip'
    | 'opening'
    | 'ground'
    | 'felt'
    | 'q'
    | 'speed'
    | 'mach peak'
    | 'heat'
  /** The altitude at which it lies, NaN where it is not one. */
  readonly altitude: number
  readonly gap: (point: Point) => number
  readonly rate: (point: Point) => number
  /** Change of the gap by lane l at fixed time. */
  readonly change: (point: Point, lane: number) => number
}

/** Fills a point with the state between two ends: speeds by quintics through values, rates and their rates about the END (place 0; −1 the beginning), altitude by their integral, mass by a cubic. */
export function between(craft: Craft, from: Point, to: Point, dt: number, place: number, point: Point): void {
  const a = from.state
  const b = to.state
  const { state } = point
  copyNumbers(b, state)
  state[U] = quintic(a[U]!, from.rates[U]!, from.upJerk, b[U]!, to.rates[U]!, to.upJerk, dt, place)
  state[W] = quintic(a[W]!, from.rates[W]!, from.sideJerk, b[W]!, to.rates[W]!, to.sideJerk, dt, place)
  state[H] = riseTo(from, to, dt, place)
  state[MASS] = cubic(a[MASS]!, from.rates[MASS]!, b[MASS]!, to.rates[MASS]!, dt, place)
  point.time = to.time + place * dt
  complete(craft, point)
}

export function riseTo(from: Point, to: Point, dt: number, e: number): number {
  const c = coefficients(from.state[U]!, from.rates[U]!, from.upJerk, to.state[U]!, to.rates[U]!, to.upJerk, dt)
  const integral = c[0]! + e * (c[1]! / 2 + e * (c[2]! / 3 + e * (c[3]! / 4 + e * (c[4]! / 5 + (e * c[5]!) / 6))))
  return to.state[H]! + dt * e * integral
}

const C = new Float64Array(6)

function coefficients(
  v0: number,
  a0: number,
  j0: number,
  v1: number,
  a1: number,
  j1: number,
  dt: number,
): Float64Array {
  const a = a1 * dt
  const j = j1 * dt * dt
  const r0 = v0 - v1 + a - 0.5 * j
  const r1 = a0 * dt - a + j
  const r2 = j0 * dt * dt - j
  const c5 = -(0.5 * r2 + 3 * r1 + 6 * r0)
  const c4 = 2 * c5 - r1 - 3 * r0
  C[0] = v1
  C[1] = a
  C[2] = 0.5 * j
  C[3] = c4 - c5 - r0
  C[4] = c4
  C[5] = c5
  return C
}

function quintic(
  v0: number,
  a0: number,
  j0: number,
  v1: number,
  a1: number,
  j1: number,
  dt: number,
  e: number,
): number {
  const c = coefficients(v0, a0, j0, v1, a1, j1, dt)
  return c[0]! + e * (c[1]! + e * (c[2]! + e * (c[3]! + e * (c[4]! + e * c[5]!))))
}

function cubic(v0: number, a0: number, v1: number, a1: number, dt: number, e: number): number {
  const b = a1 * dt
  const fall = v0 - v1
  const c3 = a0 * dt + b + 2 * fall
  return v1 + e * (b + e * (c3 + fall + b + e * c3))
}

/** Where in a step a watch's gap rises through 0, by the Illinois false position on exact evaluations at the states between. */
export function placeOf(craft: Craft, from: Point, to: Point, dt: number, watch: Watch, scratch: Point): number {
  const at = (e: number): number => {
    if (!Number.isNaN(watch.altitude)) {
      scratch.state[H] = riseTo(from, to, dt, e)
      return watch.gap(scratch)
    }
    between(craft, from, to, dt, e, scratch)
    return watch.gap(scratch)
  }
  let low = -1
  let high = 0
  let atLow = watch.gap(from)
  let atHigh = watch.gap(to)
  if (!(atHigh > 0)) return 0
  let side = 0
  for (let i = 0; i < 60 && high - low > 1e-13; i++) {
    const next = high - (atHigh * (high - low)) / (atHigh - atLow)
    const e = next > low && next < high ? next : 0.5 * (low + high)
    const gap = at(e)
    if (gap === 0) return e
    if (Math.abs(e - (gap > 0 ? high : low)) < 1e-13) return e
    if (gap < 0) {
      low = e
      atLow = gap
      if (side === 1) atHigh *= 0.5
      side = 1
    } else {
      high = e
      atHigh = gap
      if (side === -1) atLow *= 0.5
      side = -1
    }
  }
  return high
}
