import type { Frame } from './frame.ts'
import type { Sample } from './problem.ts'
import { MEDIUM, type Samples } from './samples.ts'

/** Pairs of samples nearer than this teach the error bars; nearer than `BENT` the second derivatives. */
const NEAR = 0.15
const BENT = 0.5

/**
 * Predicts the rows of a point from its nearest well-flown sample: y + g·d + ½ d'Hd, H one symmetric matrix a row, brought up
 * by the update of Powell, symmetric Broyden (Dennis & Schnabel, Numerical Methods for Unconstrained Optimization, 1983,
 * chapter 9). Flights that never leave the pad are a world of their own: one does not predict the other. Exact rows are not
 * predicted but taken from the algebra.
 */
export class Model {
  readonly frame: Frame
  readonly samples: Samples
  /** The last prediction: y, its gradient by shares, the error bar. */
  readonly y: Float64Array
  readonly slope: Float64Array
  readonly error: Float64Array
  /** Counts predictions and lessons: while it stands, so does the last prediction. */
  predictions = 0
  /** Counts lessons: while it stands, a point is predicted as before. */
  lessons = 0
  /** Samples that predict: those that lift, those that do not. */
  private readonly members: [number[], number[]] = [[], []]
  private readonly bend: Float64Array
  private readonly spread: Float64Array
  private readonly d: Float64Array
  private readonly bent: Float64Array

  constructor(frame: Frame, samples: Samples) {
    const { n } = frame.levers
    this.frame = frame
    this.samples = samples
    this.y = new Float64Array(frame.rows)
    this.slope = new Float64Array(frame.rows * n)
    this.error = new Float64Array(frame.rows)
    this.bend = new Float64Array(frame.rows * n * n)
    this.spread = new Float64Array(frame.rows)
    this.d = new Float64Array(n)
    this.bent = new Float64Array(n)
  }

  /** How many lifting samples it stands on. */
  get size(): number {
    return this.members[1].length
  }

  /** Takes a sample in: only well-flown ones with slopes teach. */
  learn(sample: number): void {
    this.predictions++
    this.lessons++
    const { samples } = this
    if (samples.grade[sample]! < MEDIUM || samples.sloped[sample] === 0 || !this.whole(sample)) return
    const pool = this.members[samples.lifts[sample]! ? 1 : 0]
    const u = samples.point(sample)
    const from = this.nearest(pool, u)
    if (from >= 0 && samples.lifts[sample]) this.bring(from, sample, u)
    pool.push(sample)
  }

  /** Whether every flown row that has values at all has one, with its slopes. */
  private whole(sample: number): boolean {
    const { frame, samples } = this
    const { n } = frame.levers
    for (let r = 0; r < frame.rows; r++) {
      if (frame.exact[r] || !frame.live[r]) continue
      if (!Number.isFinite(samples.y[sample * frame.rows + r]!)) return false
      for (let l = 0; l < n; l++) if (!Number.isFinite(samples.slope[(sample * frame.rows + r) * n + l]!)) return false
    }
    return true
  }

  private nearest(pool: readonly number[], u: Float64Array): number {
    const { n } = this.frame.levers
    const points = this.samples.u
    let chosen = -1
    let least = Number.POSITIVE_INFINITY
    for (let i = pool.length - 1; i >= 0; i--) {
      const at = pool[i]! * n
      let square = 0
      for (let l = 0; l < n; l++) {
        const by = u[l]! - points[at + l]!
        square += by * by
      }
      if (square < least) {
        least = square
        chosen = pool[i]!
      }
    }
    return chosen
  }

  /** Second derivatives and error bars learn from what the nearest sample foretold of a new one. */
  private bring(from: number, to: number, u: Float64Array): void {
    const { frame, samples, bend, d, bent } = this
    const { n } = frame.levers
    const { rows } = frame
    let square = 0
    for (let l = 0; l < n; l++) {
      d[l] = u[l]! - samples.u[from * n + l]!
      square += d[l]! * d[l]!
    }
    if (square === 0 || square > BENT * BENT) return
    for (let r = 0; r < rows; r++) {
      if (frame.exact[r] || !frame.live[r]) continue
      const at = r * n * n
      const [one, two] = [(from * rows + r) * n, (to * rows + r) * n]
      let foretold = samples.y[from * rows + r]!
      let along = 0
      for (let l = 0; l < n; l++) {
        let by = 0
        for (let k = 0; k < n; k++) by += bend[at + l * n + k]! * d[k]!
        foretold += (samples.slope[one + l]! + 0.5 * by) * d[l]!
        bent[l] = samples.slope[two + l]! - samples.slope[one + l]! - by
        along += bent[l]! * d[l]!
      }
      if (square < NEAR * NEAR) {
        const miss = Math.abs(samples.y[to * rows + r]! - foretold)
        this.spread[r] = Math.max(0.6 * this.spread[r]!, (2 * miss) / square)
      }
      for (let l = 0; l < n; l++)
        for (let k = 0; k < n; k++)
          bend[at + l * n + k] =
            bend[at + l * n + k]! +
            (bent[l]! * d[k]! + d[l]! * bent[k]!) / square -
            (along * d[l]! * d[k]!) / (square * square)
    }
  }

  /**
   * Predicts the rows at a point in shares, given its algebra; fills `y`, `slope` and `error`.
   * False where nothing flown tells of such a point (the flown rows are then without bounds).
   */
  predict(u: Float64Array, algebra: Sample): boolean {
    this.takeExact(algebra)
    if (this.frame.allExact) return true
    const from = this.nearest(this.members[algebra.lifts ? 1 : 0], u)
    if (from < 0) return false
    this.quadratic(from, u, algebra.lifts)
    return true
  }

  /** Predicts from one sample, whether another is nearer or not. */
  predictFrom(from: number, u: Float64Array, algebra: Sample): void {
    this.takeExact(algebra)
    this.quadratic(from, u, true)
  }

  private takeExact(algebra: Sample): void {
    this.predictions++
    const { frame, y, slope, error } = this
    const { n, width } = frame.levers
    // Without its slopes the point alone is told of, not what lies about it.
    const sloped = algebra.slopes.length > 0
    for (let r = 0; r < frame.rows; r++) {
      if (!frame.exact[r]) continue
      const row = frame.rowAt[r]!
      y[r] = algebra.rows[row]!
      error[r] = 0
      if (!sloped) continue
      for (let l = 0; l < n; l++) slope[r * n + l] = algebra.slopes[row * n + l]! * width[l]!
    }
  }

  /** Flown rows at a point by the quadratic of one sample, with error bars. */
  private quadratic(from: number, u: Float64Array, curved: boolean): void {
    const { frame, samples, bend, d, y, slope, error } = this
    const { n, step } = frame.levers
    const { rows } = frame
    let square = 0
    for (let l = 0; l < n; l++) {
      d[l] = u[l]! - samples.u[from * n + l]!
      square += d[l]! * d[l]!
    }
    const cube = square * Math.sqrt(square)
    for (let r = 0; r < rows; r++) {
      if (frame.exact[r]) continue
      const at = r * n * n
      const one = (from * rows + r) * n
      let value = samples.y[from * rows + r]!
      let second = 0
      let most = 0
      let perStep = 0
      for (let l = 0; l < n; l++) {
        const g = samples.slope[one + l]!
        let by = 0
        if (curved) for (let k = 0; k < n; k++) by += bend[at + l * n + k]! * d[k]!
        slope[r * n + l] = g + by
        value += g * d[l]!
        second += 0.5 * by * d[l]!
        most = Math.max(most, Math.abs(g))
        perStep = Math.max(perStep, Math.abs(g) * (step[l]! || 1e-3))
      }
      y[r] = value + second
      error[r] =
        Math.abs(second) +
        (this.spread[r]! + 1.6 * most) * square +
        20 * most * cube +
        Math.min(2e-5, 2e-3 * perStep + 1e-10)
    }
  }
}
