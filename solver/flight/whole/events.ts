import { GAUSS } from '../gauss.ts'
import type { Craft } from './craft.ts'
import { complete } from './forces.ts'
import { burnt } from './pieces.ts'
import { ANGLE, BACK_LOSS, DRAG_LOSS, H, HEAT, MASS, type Point, U, W } from './point.ts'

/** What a step may meet. */
export type Kind = 'edge' | 'mach' | 'apoapsis' | 'periapsis' | 'rail end' | 'space' | 'clip' | 'opening' | 'ground'

// The step that was fitted last, about its END (place 0; −1 the beginning): upward and horizontal speed as quintics through values, rates and
// their rates, mach as the cubic through values and rates.
const up = new Float64Array(6)
const side = new Float64Array(6)
const machs = new Float64Array(4)

/** Fits a step between its ends, for `riseTo`, `climbAt`, `machAt` and `between`. */
export function fitStep(craft: Craft, from: Point, to: Point, dt: number): void {
  quintic(up, from.state[U]!, from.rates[U]!, from.upJerk, to.state[U]!, to.rates[U]!, to.upJerk, dt)
  if (!craft.vertical)
    quintic(side, from.state[W]!, from.rates[W]!, from.sideJerk, to.state[W]!, to.rates[W]!, to.sideJerk, dt)
  const b = to.machRate * dt
  const fall = from.mach - to.mach
  const c3 = from.machRate * dt + b + 2 * fall
  machs[0] = to.mach
  machs[1] = b
  machs[2] = c3 + fall + b
  machs[3] = c3
}

function quintic(
  c: Float64Array,
  v0: number,
  a0: number,
  j0: number,
  v1: number,
  a1: number,
  j1: number,
  dt: number,
): void {
  const a = a1 * dt
  const j = j1 * dt * dt
  const r0 = v0 - v1 + a - 0.5 * j
  const r1 = a0 * dt - a + j
  const r2 = j0 * dt * dt - j
  const c5 = -(0.5 * r2 + 3 * r1 + 6 * r0)
  const c4 = 2 * c5 - r1 - 3 * r0
  c[0] = v1
  c[1] = a
  c[2] = 0.5 * j
  c[3] = c4 - c5 - r0
  c[4] = c4
  c[5] = c5
}

/** Altitude above that of the fitted step's end, of `dt` seconds. */
export function riseTo(dt: number, e: number): number {
  return (
    dt * e * (up[0]! + e * (up[1]! / 2 + e * (up[2]! / 3 + e * (up[3]! / 4 + e * (up[4]! / 5 + (e * up[5]!) / 6)))))
  )
}

/** Upward speed in the fitted step, and its change per place. */
export function climbAt(e: number): number {
  return up[0]! + e * (up[1]! + e * (up[2]! + e * (up[3]! + e * (up[4]! + e * up[5]!))))
}

export function pushAt(e: number): number {
  return up[1]! + e * (2 * up[2]! + e * (3 * up[3]! + e * (4 * up[4]! + e * 5 * up[5]!)))
}

/** Mach number in the fitted step, and its change per place. */
export function machAt(e: number): number {
  return machs[0]! + e * (machs[1]! + e * (machs[2]! + e * machs[3]!))
}

export function machPushAt(e: number): number {
  return machs[1]! + e * (2 * machs[2]! + e * 3 * machs[3]!)
}

/** Angle run from a fitted step's end, at this distance from the centre, to a place: Gauss's rule has the quintic of horizontal speed exactly. */
function turnTo(distance: number, dt: number, e: number): number {
  let sum = 0
  for (let k = 0; k < GAUSS.length; k++) {
    const [place, weight] = GAUSS[k]!
    sum += (weight * sideAt(place * e)) / (distance + riseTo(dt, place * e))
  }
  return dt * e * sum
}

function sideAt(e: number): number {
  return side[0]! + e * (side[1]! + e * (side[2]! + e * (side[3]! + e * (side[4]! + e * side[5]!))))
}

/** A point, which may be the step's end itself, at a place of the fitted step. */
export function between(craft: Craft, from: Point, to: Point, dt: number, e: number, point: Point): void {
  stateBetween(craft, from, to, dt, e, point)
  complete(craft, point)
}

/** Its state alone: altitude and angle by the integrals of speed, sums by those of the cubics of their rates, mass by a cubic, or by the thrust curve's own integral. */
export function stateBetween(craft: Craft, from: Point, to: Point, dt: number, e: number, point: Point): void {
  const a = from.rates
  const b = to.rates
  const { state } = point
  const end = to.state
  const { time } = to
  const tabled = craft.burning && craft.shape !== null
  const mass = tabled
    ? end[MASS]! - burnt(craft, time, e * dt)
    : cubic(from.state[MASS]!, a[MASS]! * dt, end[MASS]!, b[MASS]! * dt, e)
  state[DRAG_LOSS] = end[DRAG_LOSS]!
  state[BACK_LOSS] = end[BACK_LOSS]!
  if (craft.losing) {
    state[DRAG_LOSS]! += dt * part(a[DRAG_LOSS]!, from.dragTrend * dt, b[DRAG_LOSS]!, to.dragTrend * dt, e)
    state[BACK_LOSS]! += dt * part(a[BACK_LOSS]!, from.backTrend * dt, b[BACK_LOSS]!, to.backTrend * dt, e)
  }
  state[HEAT] = end[HEAT]!
  if (craft.heating !== 0) state[HEAT]! += dt * part(a[HEAT]!, from.heatRate * dt, b[HEAT]!, to.heatRate * dt, e)
  state[ANGLE] = end[ANGLE]!
  state[W] = end[W]!
  if (!craft.vertical) {
    state[ANGLE]! += turnTo(craft.radius + end[H]!, dt, e)
    state[W] = sideAt(e)
  }
  state[H] = end[H]! + riseTo(dt, e)
  state[U] = climbAt(e)
  state[MASS] = mass
  point.time = time + e * dt
}

/** The cubic through these values with these rates per step at its ends, at place e. */
export function cubic(value0: number, rate0: number, value1: number, rate1: number, e: number): number {
  const fall = value0 - value1
  const c3 = rate0 + rate1 + 2 * fall
  return value1 + e * (rate1 + e * (c3 + fall + rate1 + e * c3))
}

/** Its integral from the step's end to place e. */
function part(value0: number, rate0: number, value1: number, rate1: number, e: number): number {
  const fall = value0 - value1
  const c3 = rate0 + rate1 + 2 * fall
  const c2 = c3 + fall + rate1
  return e * (value1 + e * (rate1 / 2 + e * (c2 / 3 + (e * c3) / 4)))
}
