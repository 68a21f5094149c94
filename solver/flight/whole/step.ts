import { VERNER } from '../step.ts'
import { vary } from './changes.ts'
import type { Craft, Lane } from './craft.ts'
import { complete } from './forces.ts'
import { ACTING, errors, march, passed, STAGES } from './march.ts'
import { ANGLE, BACK_LOSS, copyNumbers, DRAG_LOSS, H, HEAT, MASS, type Point, SIZE, U, W } from './point.ts'
import { isUpright, marchUpright } from './upright.ts'

const ROWS = VERNER.matrix.map(row => Float64Array.from(row))
const [B1, , , B4, B5, B6, B7, B8] = VERNER.weights
const E9 = VERNER.errors[8]

/** What of a lane acts, in the plane and straight up and down, and what is summed up. */
const PLANAR = Uint8Array.of(H, U, W, MASS)
const UPRIGHT = Uint8Array.of(H, U, MASS)
const SUMS = Uint8Array.of(ANGLE, DRAG_LOSS, BACK_LOSS, HEAT)

/** What errors are taken relative to, besides the state itself: speed [m/s] and altitude [m]; and the tolerance. */
export interface Care {
  readonly tolerance: number
  readonly speed: number
  readonly altitude: number
}

/** Heat taken may err by so many tolerances of itself a step; below this [J/m2] it counts as so much. */
const HEAT_CARE = 3
const LEAST_HEAT = 100

/** One trial step (`craft.step`) from an end of known rates to a new one, by Verner's pair (march.ts, upright.ts); its error goes to `craft.error`. */
export function attempt(craft: Craft, from: Point, to: Point, care: Care): void {
  if (isUpright(craft)) marchUpright(craft, from, to)
  else march(craft, from, to)
  complete(craft, to)
  judge(craft, to, care)
}

function judge(craft: Craft, to: Point, care: Care): void {
  const { state, rates } = to
  const scale = Math.abs(craft.step) / care.tolerance
  const altitude = Math.abs(errors[H]! + E9 * rates[H]!) / (Math.abs(state[H]!) + care.altitude)
  const up = Math.abs(errors[U]! + E9 * rates[U]!)
  const side = craft.vertical ? 0 : Math.abs(errors[W]! + E9 * rates[W]!)
  let worst = scale * Math.max(altitude, Math.max(up, side) / (Math.abs(to.speed) + care.speed))
  if (craft.heating !== 0) {
    const heat = Math.abs(errors[HEAT]! + E9 * rates[HEAT]!)
    worst = Math.max(worst, (scale * heat) / (HEAT_CARE * (state[HEAT]! + LEAST_HEAT)))
  }
  craft.error = Number.isNaN(worst) ? Number.POSITIVE_INFINITY : worst
}

/** Carries the lanes over the step last attempted, from its beginning (`state`) to its end. */
export function moveLanes(craft: Craft, from: Point): void {
  const { lanes, step: dt } = craft
  if (lanes.length === 0) return
  fillStages(craft, from, dt)
  const moving = craft.mode !== 'pad'
  const acting = craft.vertical ? UPRIGHT : PLANAR
  for (let l = 0; l < lanes.length; l++) {
    const lane = lanes[l]!
    const { state, begin, stages: rates } = lane
    copyNumbers(state, begin)
    lane.event = 0
    for (let i = 0; i < STAGES; i++) {
      if (i > 0) toStage(i, rates, begin, dt, state, acting)
      vary(craft, i === 0 ? from : craft.stages[i]!, lane, l)
      putRates(craft, lane, i, moving)
    }
    toEnd(rates, begin, dt, state, acting)
  }
}

function putRates({ change }: Craft, { state, stages: rates }: Lane, stage: number, moving: boolean): void {
  const at = SIZE * stage
  rates[at + H] = moving ? state[U]! : 0
  rates[at + U] = change.upRate
  rates[at + W] = change.sideRate
  rates[at + MASS] = change.massRate
  rates[at + ANGLE] = change.angleRate
  rates[at + DRAG_LOSS] = change.dragLossRate
  rates[at + BACK_LOSS] = change.backLossRate
  rates[at + HEAT] = change.heatRate
}

/** The points of the stages of the step last attempted. */
function fillStages(craft: Craft, from: Point, dt: number): void {
  const { evaluations } = craft
  for (let i = 1; i < STAGES; i++) {
    const stage = craft.stages[i]!
    stage.state[H] = passed[ACTING * i]!
    stage.state[U] = passed[ACTING * i + 1]!
    stage.state[W] = passed[ACTING * i + 2]!
    stage.state[MASS] = passed[ACTING * i + 3]!
    stage.time = from.time + VERNER.nodes[i]! * dt
    complete(craft, stage, false)
  }
  craft.evaluations = evaluations
}

/** The acting part of a lane at stage i, from its rates at the stages before. */
function toStage(
  i: number,
  rates: Float64Array,
  begin: Float64Array,
  dt: number,
  state: Float64Array,
  acting: Uint8Array,
): void {
  const row = ROWS[i]!
  for (let n = 0; n < acting.length; n++) {
    const k = acting[n]!
    let sum = row[0]! * rates[k]!
    // The last row but one and those before leave the second stage out.
    for (let j = i < 3 ? 1 : 2; j < i; j++) sum += row[j]! * rates[SIZE * j + k]!
    state[k] = begin[k]! + dt * sum
  }
}

/** The whole lane at the end of the step: the sums too. */
function toEnd(rates: Float64Array, begin: Float64Array, dt: number, state: Float64Array, acting: Uint8Array): void {
  for (let n = 0; n < acting.length; n++) atEnd(acting[n]!, rates, begin, dt, state)
  for (let n = 0; n < SUMS.length; n++) atEnd(SUMS[n]!, rates, begin, dt, state)
}

function atEnd(k: number, rates: Float64Array, begin: Float64Array, dt: number, state: Float64Array): void {
  let sum = B1 * rates[k]!
  sum += B4 * rates[3 * SIZE + k]!
  sum += B5 * rates[4 * SIZE + k]!
  sum += B6 * rates[5 * SIZE + k]!
  sum += B7 * rates[6 * SIZE + k]!
  sum += B8 * rates[7 * SIZE + k]!
  state[k] = begin[k]! + dt * sum
}

/** Moves the lanes from the end of the step just carried over to a place near it, `to` still being that end. */
export function shiftLanes(craft: Craft, to: Point, dt: number, e: number): void {
  const { lanes } = craft
  for (let l = 0; l < lanes.length; l++) {
    const lane = lanes[l]!
    lane.kept.set(lane.state)
    rateLane(craft, to, lane, l)
    placeLane(lane, dt, e)
  }
}

/** Works out a lane's rates at the end of the step just carried over, for `placeLane`. */
export function rateLane(craft: Craft, to: Point, lane: Lane, l: number): void {
  const moving = craft.mode !== 'pad'
  vary(craft, to, lane, l)
  putRates(craft, lane, STAGES, moving)
}

/** Fills a lane's state at a place of the step just carried over, whose end is in `kept`: cubics through values and rates at both ends, altitude by the integral of upward speed. */
export function placeLane(lane: Lane, dt: number, e: number): void {
  const { begin, kept, stages: rates, state } = lane
  const last = SIZE * STAGES
  for (let k = 0; k < SIZE; k++) {
    const b = rates[last + k]! * dt
    const fall = begin[k]! - kept[k]!
    const c3 = rates[k]! * dt + b + 2 * fall
    const c2 = c3 + fall + b
    state[k] = kept[k]! + e * (b + e * (c2 + e * c3))
    if (k === U) state[H] = kept[H]! + dt * e * (kept[U]! + e * (b / 2 + e * (c2 / 3 + (e * c3) / 4)))
  }
}
