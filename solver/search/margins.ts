import { type Bound, EQUAL_WITHIN, type Frame, MUST } from './frame.ts'
import { figureOf, slopeByY } from './scale.ts'

/**
 * The margins of bounds at one point, in their units, with their slopes by y. Only those count whose row has a value, and of a target's
 * several rows, where it is bounded from below, only the largest. Lists that are emptied would be made anew each time: `count` says how much is filled.
 */
export class Margins {
  count = 0
  margin = new Float64Array(16)
  gain = new Float64Array(16)
  readonly used: Bound[] = []
  private readonly frame: Frame
  private readonly figures: Float64Array

  constructor(frame: Frame) {
    this.frame = frame
    this.figures = new Float64Array(frame.rows)
  }

  /** Fills all from the rows' y, from place `yAt` on. */
  take(bounds: readonly Bound[], y: Float64Array, yAt: number): void {
    if (this.margin.length < bounds.length) {
      this.margin = new Float64Array(2 * bounds.length)
      this.gain = new Float64Array(2 * bounds.length)
    }
    const { frame, figures, margin, gain, used } = this
    for (let r = 0; r < frame.rows; r++) figures[r] = figureOf(frame, r, y[yAt + r]!)
    let count = 0
    for (const bound of bounds) {
      const value = y[yAt + bound.row]!
      if (!Number.isFinite(value)) continue
      const target = bound.target < 0 ? null : frame.targets[bound.target]!
      if (target && bound.side < 0 && target.rows.length > 1 && !attains(target.rows, figures, bound.row)) continue
      let now = (bound.side * (bound.limit - value)) / bound.unit
      let per = -bound.side / bound.unit
      if (target) {
        const figure = figures[bound.row]!
        const real =
          bound.shift + (bound.side > 0 ? (target.high - figure) / target.scale : (figure - target.low) / target.scale)
        const soft = bound.level !== MUST && (real < -1e-3 || target.kind === EQUAL_WITHIN)
        if (Number.isFinite(real)) {
          if (soft) {
            now = real
            per = (-bound.side * slopeByY(frame, bound.row, value)) / target.scale
          } else if (Math.abs(bound.limit - value) > 1e-7 * Math.max(1, Math.abs(bound.limit))) {
            now = real
            per = -real / (bound.limit - value)
          }
        }
      }
      margin[count] = now
      gain[count] = per
      used[count++] = bound
    }
    this.count = count
  }

  /** Whether a bound's row is its target's figure. */
  leads({ target, row }: Bound): boolean {
    const { rows } = this.frame.targets[target]!
    return rows.length === 1 || attains(rows, this.figures, row)
  }

  /** Whether a bound is one side of a should or could that is worth the square of its distance. */
  isSquare({ target, level }: Bound): boolean {
    return target >= 0 && level !== MUST && this.frame.targets[target]!.kind === EQUAL_WITHIN
  }
}

function attains(rows: readonly number[], figures: Float64Array, row: number): boolean {
  for (const other of rows)
    if (figures[other]! > figures[row]! || (figures[other] === figures[row] && other < row)) return false
  return true
}
