import { curveEnd } from '../../model/curve.ts'
import type { Curve } from '../../model/expr.ts'
import { takeNumbers } from '../slab.ts'
import { airOf } from './air.ts'
import { type Craft, type DragPieces, keptLanes } from './craft.ts'
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
  const starts = takeNumbers(count, 0)
  starts.set(drag.knots, 1)
  const divides: boolean[] = [false]
  for (let p = 1; p < count; p++) divides.push(!loose && restarts[p - 1] === 1 && starts[p]! > 0)
  const lanes = directions.map(direction => laid(direction.stages[stage]!.drag, count))
  return { starts, pieces: laid(drag, count), lanes, divides }
}

function laid(curve: Curve, count: number): Float64Array {
  const pieces = takeNumbers(4 * count, 0)
  pieces[0] = curve.coefficients[0]!
  if (count === 2) {
    pieces[4] = curve.coefficients[0]!
    return pieces
  }
  pieces.set(curve.coefficients.subarray(0, 4 * (count - 2)), 4)
  pieces[4 * (count - 1)] = curveEnd(curve)
  return pieces
}

/** Opens the pieces between two restarts at a mach number, its rate deciding at a knot. Gives whether these are others than before. */
export function openPieces(craft: Craft, mach: number, rate: number): boolean {
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
  const anew = low !== craft.pieceLow || high !== craft.pieceHigh
  craft.pieceLow = low
  craft.pieceHigh = high
  return anew
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

/** Puts a craft on the pad, nothing burning yet and no stage carried. */
export function stand(craft: Craft, plan: WholePlan, directions: readonly WholeDirection[], loose: boolean): void {
  const upright = plan.railElevation === Math.PI / 2
  craft.radius = plan.body.radius
  craft.surfaceGravity = plan.body.gravity
  craft.air = airOf(plan.body, loose)
  craft.layer = 0
  craft.mode = 'pad'
  craft.vertical = upright && plan.pitch === null && directions.every(direction => direction.railElevation === 0)
  craft.direction = 1
  craft.sine = upright ? 1 : Math.sin(plan.railElevation)
  craft.cosine = upright ? 0 : Math.cos(plan.railElevation)
  craft.burning = false
  craft.vacuum = 0
  craft.cap = 1
  craft.beta = 0
  craft.exhaust = 1
  craft.shape = null
  craft.shapePiece = 0
  craft.ignition = 0
  craft.clipped = false
  craft.canopyFrom = 0
  craft.canopyTo = 0
  craft.opened = 0
  craft.fillTime = 0
  craft.pitch = plan.pitch && held(plan.pitch)
  craft.pitchPiece = 0
  craft.hold = 0
  craft.heating = plan.heating > 0 && plan.noseRadius > 0 ? plan.heating / Math.sqrt(plan.noseRadius) : 0
  craft.losing = false
  craft.evaluations = 0
  craft.lanes = keptLanes(directions.length)
}
