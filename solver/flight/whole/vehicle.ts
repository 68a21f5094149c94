import { curveEnd } from '../../model/curve.ts'
import type { Curve } from '../../model/expr.ts'
import { airOf } from './air.ts'
import { type Craft, createChange, type DragPieces, keptLanes, keptStages } from './craft.ts'
import type { WholeDirection, WholePlan } from './plan.ts'

/** Two real knots this near stand for a jump between them, which is passed over. */
const JUMP = 2e-9

/** A stage's drag coefficient as pieces, piece 0 below its first knot and the last one from its last knot on, constant both. */
export function dragPieces(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  stage: number,
  loose: boolean,
): DragPieces {
  const { drag } = plan.stages[stage]!
  const restarts = plan.restarts[stage]!
  const count = drag.knots.length + 1
  const starts = new Float64Array(count)
  starts.set(drag.knots, 1)
  return {
    starts,
    pieces: laid(drag, count),
    lanes: directions.map(direction => laid(direction.stages[stage]!.drag, count)),
    divides: Array.from({ length: count }, (_, p) => !loose && p > 0 && restarts[p - 1] === 1 && starts[p]! > 0),
  }
}

function laid(curve: Curve, count: number): Float64Array {
  const pieces = new Float64Array(4 * count)
  pieces[0] = curve.coefficients[0]!
  if (count === 2) {
    pieces[4] = curve.coefficients[0]!
    return pieces
  }
  pieces.set(curve.coefficients.subarray(0, 4 * (count - 2)), 4)
  pieces[4 * (count - 1)] = curveEnd(curve)
  return pieces
}

/** Opens the pieces between two restarts at a mach number, its rate deciding at a knot. */
export function openPieces(craft: Craft, mach: number, rate: number): void {
  const { starts, divides } = craft.dragPieces
  const last = starts.length - 1
  let piece = 0
  while (piece < last && mach >= starts[piece + 1]!) piece++
  const near = 1e-9 * Math.max(1, mach)
  if (rate > 0) while (piece < last && starts[piece + 1]! - mach <= near) piece++
  if (rate < 0) while (piece > 0 && divides[piece] && mach - starts[piece]! <= near) piece--
  let low = piece
  let high = piece
  while (low > 0 && !divides[low]) low--
  while (high < last && !divides[high + 1]) high++
  craft.pieceLow = low
  craft.pieceHigh = high
}

/** Passes the knot at the upper or lower end of the open pieces; a jump's two knots at once. */
export function passKnot(craft: Craft, up: boolean): void {
  const { starts } = craft.dragPieces
  const at = starts[up ? craft.pieceHigh + 1 : craft.pieceLow]!
  const beyond = JUMP * Math.max(1, at)
  openPieces(craft, up ? at + beyond : Math.max(0, at - beyond), up ? 1 : -1)
}

/** A table of time with its ends held: a constant piece from 0 to its first knot and one from its last knot on. */
function held({ knots, coefficients }: Curve): Curve {
  const pieces = coefficients.subarray(0, 4 * (knots.length - 1))
  const end = curveEnd({ knots, coefficients })
  if (knots[0]! <= 0) return { knots, coefficients: Float64Array.of(...pieces, end, 0, 0, 0) }
  return {
    knots: Float64Array.of(0, ...knots),
    coefficients: Float64Array.of(coefficients[0]!, 0, 0, 0, ...pieces, end, 0, 0, 0),
  }
}

/** A craft standing on the pad, nothing burning yet. */
export function standing(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  lowest: number,
  loose: boolean,
): Craft {
  const upright = plan.railElevation === Math.PI / 2
  const pieces = dragPieces(plan, directions, lowest, loose)
  return {
    radius: plan.body.radius,
    surfaceGravity: plan.body.gravity,
    air: airOf(plan.body, loose),
    layer: 0,
    mode: 'pad',
    vertical: upright && plan.pitch === null && directions.every(direction => direction.railElevation === 0),
    direction: 1,
    sine: upright ? 1 : Math.sin(plan.railElevation),
    cosine: upright ? 0 : Math.cos(plan.railElevation),
    burning: false,
    vacuum: 0,
    cap: 1,
    beta: 0,
    exhaust: 1,
    shape: null,
    shapePiece: 0,
    ignition: 0,
    clipped: false,
    area: 0,
    dragPieces: pieces,
    pieceLow: 0,
    pieceHigh: pieces.starts.length - 1,
    canopyFrom: 0,
    canopyTo: 0,
    opened: 0,
    fillTime: 0,
    pitch: plan.pitch && held(plan.pitch),
    pitchPiece: 0,
    hold: 0,
    heating: plan.heating > 0 && plan.noseRadius > 0 ? plan.heating / Math.sqrt(plan.noseRadius) : 0,
    losing: false,
    evaluations: 0,
    change: createChange(),
    lanes: keptLanes(directions.length),
    stages: keptStages(),
  }
}
