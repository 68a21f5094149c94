import { VERNER } from '../step.ts'
import type { Craft } from './craft.ts'
import { complete, evaluate, vary } from './forces.ts'
import { ANGLE, BACK_LOSS, copyNumbers, DRAG_LOSS, H, HEAT, MASS, type Point, SIZE, U, W } from './point.ts'

const STAGES = 9
const NODES = Float64Array.from(VERNER.nodes)
/** Row i of the tableau at `MATRIX[9 i …]`. */
const MATRIX = new Float64Array(STAGES * STAGES)
VERNER.matrix.forEach((row, i) => {
  row.forEach((a, j) => {
    MATRIX[STAGES * i + j] = a
  })
})
const ERRORS = Float64Array.from(VERNER.errors)

/** What errors are taken relative to, besides the state itself: speed [m/s] and altitude [m]; and the tolerance. */
export interface Care {
  readonly tolerance: number
  readonly speed: number
  readonly altitude: number
}

/** Rates at the stages of the step in hand, SIZE a stage. */
const K = new Float64Array(STAGES * SIZE)

/** One trial step of `dt` from an end of known rates to a new one, by Verner's pair (step.ts). Gives the error in tolerances. */
export function attempt(craft: Craft, from: Point, to: Point, dt: number, care: Care): number {
  const { stages } = craft
  const begin = from.state
  for (let k = 0; k < SIZE; k++) K[k] = from.rates[k]!
  for (let i = 1; i < STAGES; i++) {
    const stage = i < STAGES - 1 ? stages[i]! : to
    const row = STAGES * i
    const { state } = stage
    for (let k = 0; k < SIZE; k++) {
      // The second and third stage count only in the rows right after them.
      let sum = MATRIX[row]! * K[k]!
      if (i === 2) sum += MATRIX[row + 1]! * K[SIZE + k]!
      else if (i < 8) sum += MATRIX[row + 2]! * K[2 * SIZE + k]!
      for (let j = 3; j < i; j++) sum += MATRIX[row + j]! * K[SIZE * j + k]!
      state[k] = begin[k]! + dt * sum
    }
    stage.time = from.time + NODES[i]! * dt
    if (i === STAGES - 1) break
    evaluate(craft, stage)
    const at = SIZE * i
    for (let k = 0; k < SIZE; k++) K[at + k] = stage.rates[k]!
  }
  complete(craft, to)
  return errorOf(to, dt, care)
}

function errorOf(to: Point, dt: number, care: Care): number {
  const speed = care.tolerance * (Math.abs(to.speed) + care.speed)
  const altitude = care.tolerance * (Math.abs(to.state[H]!) + care.altitude)
  const worst = Math.max(partOf(H, to, dt) / altitude, Math.max(partOf(U, to, dt), partOf(W, to, dt)) / speed)
  return Number.isNaN(worst) ? Number.POSITIVE_INFINITY : worst
}

function partOf(k: number, to: Point, dt: number): number {
  let sum = ERRORS[0]! * K[k]! + ERRORS[8]! * to.rates[k]!
  for (let j = 3; j < 8; j++) sum += ERRORS[j]! * K[SIZE * j + k]!
  return Math.abs(dt * sum)
}

/** Carries the lanes over the step last attempted, from its beginning (`state`) to its end. */
export function moveLanes(craft: Craft, from: Point, dt: number): void {
  const { lanes, stages, change } = craft
  for (let l = 0; l < lanes.length; l++) {
    const lane = lanes[l]!
    const { state, begin, stages: rates } = lane
    copyNumbers(state, begin)
    for (let i = 0; i < STAGES; i++) {
      const row = STAGES * i
      if (i > 0)
        for (let k = 0; k < SIZE; k++) {
          let sum = 0
          for (let j = 0; j < i; j++) {
            const a = MATRIX[row + j]!
            if (a !== 0) sum += a * rates[SIZE * j + k]!
          }
          state[k] = begin[k]! + dt * sum
        }
      // The last row is the step's own weights: its state is the end's.
      if (i === STAGES - 1) break
      lane.event = 0
      vary(craft, i === 0 ? from : stages[i]!, lane, l)
      const at = SIZE * i
      const moving = craft.mode !== 'pad'
      rates[at + H] = moving ? state[U]! : 0
      rates[at + U] = change.upRate
      rates[at + W] = change.sideRate
      rates[at + ANGLE] = change.angleRate
      rates[at + MASS] = change.massRate
      rates[at + DRAG_LOSS] = change.dragLossRate
      rates[at + BACK_LOSS] = change.backLossRate
      rates[at + HEAT] = change.heatRate
    }
  }
}
