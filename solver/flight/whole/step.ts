import { VERNER } from '../step.ts'
import { complete, vary } from './changes.ts'
import type { Craft } from './craft.ts'
import { evaluate } from './forces.ts'
import { ACTING, ANGLE, BACK_LOSS, copyNumbers, DRAG_LOSS, H, HEAT, MASS, type Point, SIZE, U, W } from './point.ts'

const STAGES = 9
const NODES = Float64Array.from(VERNER.nodes)
// Named one by one so that they are constants of the compiled code.
const [, [A21], [A31, A32], [A41, , A43], [A51, , A53, A54], [A61, , A63, A64, A65]] = VERNER.matrix
const [A71, , A73, A74, A75, A76] = VERNER.matrix[6]
const [A81, , A83, A84, A85, A86, A87] = VERNER.matrix[7]
const [B1, , , B4, B5, B6, B7, B8] = VERNER.weights
const [E1, , , E4, E5, E6, E7, E8, E9] = VERNER.errors

/** What errors are taken relative to, besides the state itself: speed [m/s] and altitude [m]; and the tolerance. */
export interface Care {
  readonly tolerance: number
  readonly speed: number
  readonly altitude: number
}

/** Heat taken may err by so many tolerances of itself a step; below this [J/m2] it counts as so much. */
const HEAT_CARE = 3
const LEAST_HEAT = 100

/** Rates at the stages of the step in hand, SIZE a stage. */
const K = new Float64Array(STAGES * SIZE)

/** One trial step of `dt` from an end of known rates to a new one, by Verner's pair (step.ts). Gives the error in tolerances. */
export function attempt(craft: Craft, from: Point, to: Point, dt: number, care: Care): number {
  const { stages } = craft
  const begin = from.state
  copyNumbers(from.rates, K)
  for (let i = 1; i < STAGES - 1; i++) {
    const stage = stages[i]!
    toStage(i, K, begin, dt, stage.state)
    stage.time = from.time + NODES[i]! * dt
    evaluate(craft, stage)
    const { rates } = stage
    const at = SIZE * i
    for (let k = 0; k < SIZE; k++) K[at + k] = rates[k]!
  }
  toEnd(K, begin, dt, to.state)
  to.time = from.time + dt
  complete(craft, to)
  const error = errorOf(to, dt, care)
  if (craft.heating === 0) return error
  return Math.max(error, partOf(HEAT, to, dt) / (HEAT_CARE * care.tolerance * (to.state[HEAT]! + LEAST_HEAT)))
}

/** The acting part of the state at stage i, from rates at the stages before. */
function toStage(i: number, rates: Float64Array, begin: Float64Array, dt: number, state: Float64Array): void {
  switch (i) {
    case 1:
      for (let k = 0; k < ACTING; k++) state[k] = begin[k]! + dt * (A21 * rates[k]!)
      return
    case 2:
      for (let k = 0; k < ACTING; k++) state[k] = begin[k]! + dt * (A31 * rates[k]! + A32 * rates[SIZE + k]!)
      return
    case 3:
      for (let k = 0; k < ACTING; k++) state[k] = begin[k]! + dt * (A41 * rates[k]! + A43 * rates[2 * SIZE + k]!)
      return
    case 4:
      for (let k = 0; k < ACTING; k++)
        state[k] = begin[k]! + dt * (A51 * rates[k]! + A53 * rates[2 * SIZE + k]! + A54 * rates[3 * SIZE + k]!)
      return
    case 5:
      for (let k = 0; k < ACTING; k++)
        state[k] =
          begin[k]! +
          dt * (A61 * rates[k]! + A63 * rates[2 * SIZE + k]! + A64 * rates[3 * SIZE + k]! + A65 * rates[4 * SIZE + k]!)
      return
    case 6:
      for (let k = 0; k < ACTING; k++)
        state[k] =
          begin[k]! +
          dt *
            (A71 * rates[k]! +
              A73 * rates[2 * SIZE + k]! +
              A74 * rates[3 * SIZE + k]! +
              A75 * rates[4 * SIZE + k]! +
              A76 * rates[5 * SIZE + k]!)
      return
    default:
      for (let k = 0; k < ACTING; k++)
        state[k] =
          begin[k]! +
          dt *
            (A81 * rates[k]! +
              A83 * rates[2 * SIZE + k]! +
              A84 * rates[3 * SIZE + k]! +
              A85 * rates[4 * SIZE + k]! +
              A86 * rates[5 * SIZE + k]! +
              A87 * rates[6 * SIZE + k]!)
  }
}

/** The whole state at the end of the step. */
function toEnd(rates: Float64Array, begin: Float64Array, dt: number, state: Float64Array): void {
  for (let k = 0; k < SIZE; k++)
    state[k] =
      begin[k]! +
      dt *
        (B1 * rates[k]! +
          B4 * rates[3 * SIZE + k]! +
          B5 * rates[4 * SIZE + k]! +
          B6 * rates[5 * SIZE + k]! +
          B7 * rates[6 * SIZE + k]! +
          B8 * rates[7 * SIZE + k]!)
}

function errorOf(to: Point, dt: number, care: Care): number {
  const speed = care.tolerance * (Math.abs(to.speed) + care.speed)
  const altitude = care.tolerance * (Math.abs(to.state[H]!) + care.altitude)
  const worst = Math.max(partOf(H, to, dt) / altitude, Math.max(partOf(U, to, dt), partOf(W, to, dt)) / speed)
  return Number.isNaN(worst) ? Number.POSITIVE_INFINITY : worst
}

function partOf(k: number, to: Point, dt: number): number {
  const sum =
    E1 * K[k]! +
    E4 * K[3 * SIZE + k]! +
    E5 * K[4 * SIZE + k]! +
    E6 * K[5 * SIZE + k]! +
    E7 * K[6 * SIZE + k]! +
    E8 * K[7 * SIZE + k]! +
    E9 * to.rates[k]!
  return Math.abs(dt * sum)
}

/** Carries the lanes over the step last attempted, from its beginning (`state`) to its end. */
export function moveLanes(craft: Craft, from: Point, dt: number): void {
  const { lanes, stages, change } = craft
  const moving = craft.mode !== 'pad'
  for (let l = 0; l < lanes.length; l++) {
    const lane = lanes[l]!
    const { state, begin, stages: rates } = lane
    copyNumbers(state, begin)
    lane.event = 0
    for (let i = 0; i < STAGES - 1; i++) {
      if (i > 0) toStage(i, rates, begin, dt, state)
      vary(craft, i === 0 ? from : stages[i]!, lane, l)
      const at = SIZE * i
      rates[at + H] = moving ? state[U]! : 0
      rates[at + U] = change.upRate
      rates[at + W] = change.sideRate
      rates[at + MASS] = change.massRate
      rates[at + ANGLE] = change.angleRate
      rates[at + DRAG_LOSS] = change.dragLossRate
      rates[at + BACK_LOSS] = change.backLossRate
      rates[at + HEAT] = change.heatRate
    }
    toEnd(rates, begin, dt, state)
  }
}
