import { Chain } from './chain.ts'
import { type Bound, type Frame, MUST } from './frame.ts'
import type { ChainOptions } from './levels.ts'
import { type Box, valuesAt } from './levers.ts'
import { judge } from './margin.ts'
import { Model } from './model.ts'
import { fillTies, isWorse, mayWin } from './order.ts'
import type { Sample } from './problem.ts'
import { MEDIUM, Samples } from './samples.ts'
import { figureOf } from './scale.ts'

/** Chains as the descents use them, for all levels and for the violation alone. */
export const WHOLE: ChainOptions = { goal: 'all', rounds: 1, ties: false, inset: 0 }
export const VIOLATION: ChainOptions = { goal: 'violation', rounds: 0, ties: false, inset: 0 }

/** The part of the key after the violation, the shoulds and the coulds. */
export const FIRST_AIM = 3
/** Units short that leave no doubt of a must: far above what a met target may be short by. */
const SURELY = 1e-4

/** Told how many flights were made so far; the search ends with the best it has where this gives false. */
export type Watch = (flights: number) => boolean

/** All that one search works with. */
export class Run {
  readonly frame: Frame
  readonly samples: Samples
  readonly model: Model
  readonly chain: Chain
  readonly bounds: readonly Bound[]
  /** Flights' worth of work it may spend. */
  readonly limit: number
  /** Whether the watch has called the search off. */
  stopped = false
  readonly key: Float64Array
  /** Room for the rows' figures. */
  readonly figures: Float64Array
  private readonly settings = new Map<string | number, Sample>()
  private readonly x: Float64Array
  private readonly low: Float64Array
  private readonly high: Float64Array
  private readonly watch: Watch | null
  private told = 0

  constructor(frame: Frame, limit: number, watch: Watch | null) {
    this.frame = frame
    this.watch = watch
    this.limit = limit
    this.bounds = frame.bounds
    this.samples = new Samples(frame)
    this.model = new Model(frame, this.samples)
    this.chain = new Chain(frame)
    this.key = new Float64Array(frame.keySize)
    this.x = new Float64Array(frame.levers.n)
    this.figures = new Float64Array(frame.rows)
    this.low = new Float64Array(frame.rows)
    this.high = new Float64Array(frame.rows)
  }

  /** Flies a point with slopes; well-flown ones teach the model. */
  fly(u: Float64Array, grade: number): number {
    const sample = this.samples.fly(u, grade, true)
    if (grade >= MEDIUM) this.model.learn(sample)
    return sample
  }

  /** Keeps a sample flown elsewhere with slopes. */
  keep(u: Float64Array, sample: Sample, grade: number): number {
    const at = this.samples.add(u, sample, grade, true)
    if (grade >= MEDIUM) this.model.learn(at)
    return at
  }

  /** The figure that a row's y stands for. */
  figure(row: number, y: number): number {
    return figureOf(this.frame, row, y)
  }

  /** Whether nothing more may be flown. Asks the watch now and then. */
  get spent(): boolean {
    const { work, count } = this.samples
    if (this.watch && !this.stopped && count > this.told) {
      this.told = count
      this.stopped = !this.watch(count)
    }
    return this.stopped || work >= this.limit
  }

  /** Exact rows and liftoff at a point in shares. */
  algebra(u: Float64Array, slopes = true): Sample {
    valuesAt(this.frame.levers, u, 0, this.x)
    return this.frame.problem.algebra(this.x, slopes)
  }

  /** The same of a setting of the lattice, worked out once. */
  algebraOf(id: string | number, u: Float64Array): Sample {
    const known = this.settings.get(id)
    if (known) return known
    const sample = this.algebra(u)
    this.settings.set(id, sample)
    return sample
  }

  /**
   * The key that a predicted point (`model.y`, `model.error`) would have at its best: every row shifted by its error bar and
   * by its change over a box about it. Without a prediction (`known` false) flown rows may be anything.
   */
  optimistic(u: Float64Array, known: boolean, box: Box | null, key: Float64Array): void {
    const { frame, low, high, model } = this
    const { n, step } = frame.levers
    for (let r = 0; r < frame.rows; r++) {
      if (!known && !frame.exact[r]) {
        low[r] = Number.NEGATIVE_INFINITY
        high[r] = Number.POSITIVE_INFINITY
        continue
      }
      let down = model.error[r]!
      let up = down
      if (box)
        for (let l = 0; l < n; l++) {
          const a = model.slope[r * n + l]! * step[l]! * box.low[l]!
          const b = model.slope[r * n + l]! * step[l]! * box.high[l]!
          down -= Math.min(a, b)
          up += Math.max(a, b)
        }
      const y = model.y[r]!
      const half = frame.half[r]!
      let least = y - down
      let most = y + up
      if (half > 0 && Math.abs(down) < SMALL && Math.abs(up) < SMALL && Math.abs(y) < MODEST) {
        // sinh(y ± reach) by the addition theorem: this is asked some hundred times a search.
        const middle = half * Math.sinh(y)
        const root = Math.sqrt(half * half + middle * middle)
        const under = smallSinh(down)
        const over = up === down ? under : smallSinh(up)
        least = middle * Math.sqrt(1 + under * under) - root * under
        most = middle * Math.sqrt(1 + over * over) + root * over
      } else if (half > 0) {
        least = half * Math.sinh(least)
        most = half * Math.sinh(most)
      }
      const figure = frame.figure[r]
      low[r] = figure ? figure(least) : least
      high[r] = figure ? figure(most) : most
    }
    judge(frame, low, high, key)
    fillTies(frame, u, key, box)
  }

  /** The same key, and whether it beats the best. */
  mayBeBest(u: Float64Array, known: boolean, box: Box | null, key: Float64Array): boolean {
    const { frame, samples } = this
    this.optimistic(u, known, box, key)
    return samples.best < 0 || mayWin(frame, key, 0, samples.bestKey)
  }

  /** Whether a setting's algebra alone (or for `cell` that of all within a step of it) shows the first aim worse than that of a flawless best. */
  fallsShort({ rows, slopes }: Sample, cell: boolean): boolean {
    const { frame, samples } = this
    const part = frame.parts[FIRST_AIM]
    if (part?.kind !== 'aim' || !frame.exact[part.row]) return false
    const { n, step, width } = frame.levers
    const row = frame.rowAt[part.row]!
    let least = part.sign * rows[row]!
    if (cell) for (let l = 0; l < n; l++) least -= Math.abs(slopes[row * n + l]! * width[l]!) * step[l]!
    return isWorse(frame, part.at, least, samples.bestKey[part.at]!)
  }

  /** Whether the predicted point (and all of a box about it) fails a must whatever the error bars: told without going back to the figures. */
  cannotMeet(box: Box | null): boolean {
    const { frame, model, bounds } = this
    const { n, step } = frame.levers
    for (const bound of bounds) {
      const { row, side } = bound
      if (bound.level !== MUST || (side < 0 && frame.targets[bound.target]!.rows.length > 1)) continue
      let short = side * (model.y[row]! - bound.limit) - model.error[row]!
      if (box)
        for (let l = 0; l < n; l++) {
          const by = side * model.slope[row * n + l]! * step[l]!
          short += Math.min(by * box.low[l]!, by * box.high[l]!)
        }
      if (short > SURELY * bound.unit) return true
    }
    return false
  }

  /** The key of a predicted point taken at its word. */
  expected(u: Float64Array, key: Float64Array): void {
    const { frame, low, model } = this
    for (let r = 0; r < frame.rows; r++) {
      const half = frame.half[r]!
      const figure = frame.figure[r]
      const s = half > 0 ? half * Math.sinh(model.y[r]!) : model.y[r]!
      low[r] = figure ? figure(s) : s
    }
    judge(frame, low, low, key)
    fillTies(frame, u, key)
  }
}

/** Below this the series of sinh needs no further term; below `MODEST` its square is far from too large. */
const SMALL = 0.5
const MODEST = 300

/** sinh by its series: the next term is less than 1e-11 of it. */
function smallSinh(x: number): number {
  const square = x * x
  return x * (1 + (square / 6) * (1 + (square / 20) * (1 + (square / 42) * (1 + square / 72))))
}
