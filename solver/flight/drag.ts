import { curveEnd } from '../model/curve.ts'
import type { Curve } from '../model/expr.ts'
import type { StageNumbers } from './plan.ts'
import type { Workspace } from './workspace.ts'

/** Two real knots this near stand for a jump between them, which is passed over. */
const JUMP = 2e-9

/**
 * Lays out a stage's drag coefficient as pieces over mach, and each lane's change of it, where it hangs on mach at all; else it is one number
 * within `w.drag`. The area's and the constant coefficient's part of each lane goes into `lane.drag`.
 */
export function setDrag(
  w: Workspace,
  stage: StageNumbers,
  changes: readonly StageNumbers[],
  restarts: Uint8Array,
): void {
  const { drag, referenceArea } = stage
  const curves = changes.map(change => change.drag)
  w.table = w.airKind !== 'none' && !(isFlat(drag) && curves.every(isFlat))
  const constant = w.table ? 1 : drag.coefficients[0]!
  w.drag = 0.5 * referenceArea * constant
  changes.forEach((each, l) => {
    const change = w.table ? 0 : each.drag.coefficients[0]!
    w.lanes[l]!.drag = 0.5 * (each.referenceArea * constant + referenceArea * change)
  })
  if (w.table) layPieces(w, drag, curves, restarts)
}

function isFlat({ coefficients }: Curve): boolean {
  for (let k = 0; k < coefficients.length; k++) {
    if (coefficients[k] !== (k % 4 === 0 ? coefficients[0] : 0)) return false
  }
  return true
}

function layPieces(w: Workspace, drag: Curve, curves: readonly Curve[], restarts: Uint8Array): void {
  const pieces = drag.knots.length + 1
  w.pieceCount = pieces
  w.piece = 0
  w.pieceLow = 0
  w.pieceHigh = 0
  w.restarts = restarts
  if (w.starts.length < pieces) {
    w.starts = new Float64Array(pieces)
    w.pieces = new Float64Array(4 * pieces)
  }
  w.starts.set(drag.knots, 1)
  layCurve(w.pieces, 0, drag)
  if (w.lanePieces.length < 4 * pieces * curves.length) w.lanePieces = new Float64Array(4 * pieces * curves.length)
  curves.forEach((curve, l) => {
    layCurve(w.lanePieces, 4 * pieces * l, curve)
  })
}

/** A curve's pieces with the constant ones before its first and from its last knot on. */
function layCurve(target: Float64Array, at: number, curve: Curve): void {
  const knots = curve.knots.length
  target[at] = curve.coefficients[0]!
  target[at + 1] = 0
  target[at + 2] = 0
  target[at + 3] = 0
  target.set(curve.coefficients, at + 4)
  const last = at + 4 * knots
  target[last] = knots === 1 ? curve.coefficients[0]! : curveEnd(curve)
  target[last + 1] = 0
  target[last + 2] = 0
  target[last + 3] = 0
}

/** Opens the pieces at a mach number, with the sign of its rate deciding at a knot: between two restarts they are one stretch. */
export function choosePieces(w: Workspace, mach: number, rate: number): void {
  const { starts } = w
  const last = w.pieceCount - 1
  let piece = 0
  while (piece < last && mach >= starts[piece + 1]!) piece++
  if (rate > 0) while (piece < last && starts[piece + 1]! - mach <= 1e-9) piece++
  if (rate < 0) while (piece > 0 && mach - starts[piece]! <= 1e-9) piece--
  openPieces(w, piece)
}

/** The pieces beyond the upper (rate up) or below the lower knot just met. */
export function crossKnot(w: Workspace, up: boolean): void {
  const { starts } = w
  const last = w.pieceCount - 1
  let piece = up ? w.pieceHigh + 1 : w.pieceLow - 1
  const narrow = (p: number): boolean =>
    p > 0 && p < last && starts[p + 1]! - starts[p]! < JUMP * Math.max(1, starts[p]!)
  while (narrow(piece)) piece += up ? 1 : -1
  openPieces(w, piece)
}

function openPieces(w: Workspace, piece: number): void {
  const { starts, restarts } = w
  const last = w.pieceCount - 1
  const divides = (p: number): boolean => !w.loose && p > 0 && restarts[p - 1] === 1
  let low = piece
  let high = piece
  while (low > 0 && !divides(low)) low--
  while (high < last && !divides(high + 1)) high++
  w.piece = piece
  w.pieceLow = low
  w.pieceHigh = high
  // Mach is never below 0: a knot there is no place to stop.
  w.machLow = low > 0 && starts[low]! > 0 ? starts[low]! : -1
  w.machHigh = high < last ? starts[high + 1]! : Number.POSITIVE_INFINITY
}
