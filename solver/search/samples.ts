import type { Frame } from './frame.ts'
import { grown } from './grown.ts'
import { type Levers, shareOf, valuesAt } from './levers.ts'
import { judge, makeRoom } from './margin.ts'
import { fillTies, filter } from './order.ts'
import type { Accuracy, Sample, SearchProblem } from './problem.ts'

export const LOOSE = 0
export const MEDIUM = 1
export const TIGHT = 2
const ACCURACIES: readonly Accuracy[] = ['loose', 'medium', 'tight']

/** Flies, and keeps what was flown: points in shares, rows as y with their gradients by shares, keys. Knows the best tight flight. */
export class Samples {
  readonly frame: Frame
  /** Flights' worth of work so far. */
  work = 0
  count = 0
  u: Float64Array
  y: Float64Array
  /** dy/du, row after row. */
  slope: Float64Array
  keys: Float64Array
  grade: Uint8Array
  lifts: Uint8Array
  /** Whether the gradient is known. */
  sloped: Uint8Array
  /** Tight samples that may be the answer, and the best of them: index −1 for none, and what each level of the filter came to. */
  readonly finals: number[] = []
  best = -1
  readonly bestKey: Float64Array
  private readonly finalKeys: number[] = []
  private readonly values = new Map<number, Float64Array>()
  private readonly figures: Float64Array
  private readonly at: Map<string | number, number>[] = [new Map(), new Map(), new Map()]
  private readonly x: Float64Array

  constructor(frame: Frame) {
    this.frame = frame
    makeRoom(frame)
    const room = 64
    const { n } = frame.levers
    this.u = new Float64Array(room * n)
    this.y = new Float64Array(room * frame.rows)
    this.slope = new Float64Array(room * frame.rows * n)
    this.keys = new Float64Array(room * frame.keySize)
    this.grade = new Uint8Array(room)
    this.lifts = new Uint8Array(room)
    this.sloped = new Uint8Array(room)
    this.bestKey = new Float64Array(frame.keySize).fill(Number.POSITIVE_INFINITY)
    this.figures = new Float64Array(frame.rows)
    this.x = new Float64Array(n)
  }

  /** Flies at a point in shares and gives the place of the sample. */
  fly(u: Float64Array, grade: number, slopes: boolean): number {
    valuesAt(this.frame.levers, u, 0, this.x)
    return this.add(u, this.frame.problem.fly(this.x, ACCURACIES[grade]!, slopes), grade, slopes)
  }

  /** Flies at lever values in SI, kept to the last bit. */
  flyValues(x: Float64Array, grade: number, slopes: boolean): number {
    const { levers } = this.frame
    const u = Float64Array.from(x, (value, l) => (value - levers.from[l]!) / levers.width[l]!)
    const sample = this.add(u, this.frame.problem.fly(x, ACCURACIES[grade]!, slopes), grade, slopes)
    this.values.set(sample, x.slice())
    return sample
  }

  /** The lever values of a sample in SI. */
  valuesOf(sample: number): Float64Array {
    const known = this.values.get(sample)
    if (known) return known
    const x = new Float64Array(this.frame.levers.n)
    valuesAt(this.frame.levers, this.u, sample * x.length, x)
    return x
  }

  /**
   * Flies a setting of the lattice, unless that was done: `k` counts from the first settings of the box. A tight one may be
   * the answer; with `later` the filter over those waits for `sift`.
   */
  flySetting(k: Int32Array, grade: number, slopes = grade < TIGHT, later = false): number {
    const id = latticeId(this.frame.levers, k)
    const known = this.at[grade]!.get(id)
    if (known !== undefined) return known
    const u = Float64Array.from(k, (of, l) => shareOf(this.frame.levers, l, of))
    const sample = this.fly(u, grade, slopes)
    this.at[grade]!.set(id, sample)
    if (grade === TIGHT) this.propose(sample, later)
    return sample
  }

  /** Takes a tight sample that was kept for that of a setting. */
  take(k: Int32Array, sample: number): void {
    this.at[TIGHT]!.set(latticeId(this.frame.levers, k), sample)
    this.propose(sample)
  }

  /** The sample of a setting at an accuracy, −1 where it was not flown. */
  known(k: Int32Array, grade: number): number {
    return this.at[grade]!.get(latticeId(this.frame.levers, k)) ?? -1
  }

  /** Lets a tight sample stand for the answer. */
  propose(sample: number, later = false): void {
    this.finals.push(sample)
    this.finalKeys.push(sample * this.frame.keySize)
    if (!later) this.sift()
  }

  /** Finds the best of those that may be the answer. */
  sift(): void {
    this.best = this.finals[filter(this.frame, this.keys, this.finalKeys, this.bestKey)]!
  }

  /** Keeps a sample flown at a point in shares. */
  add(u: Float64Array, sample: Sample, grade: number, slopes: boolean): number {
    const { frame } = this
    const { levers, rows, rowAt, half, figure } = frame
    const { n } = levers
    const at = this.count++
    if (at >= this.grade.length) this.grow()
    this.work += sample.work
    this.u.set(u.length === n ? u : u.subarray(0, n), at * n)
    for (let r = 0; r < rows; r++) {
      const from = rowAt[r]!
      const s = sample.rows[from]!
      const h = half[r]!
      const of = figure[r]
      this.y[at * rows + r] = h > 0 ? Math.asinh(s / h) : s
      this.figures[r] = of ? of(s) : s
      if (!slopes) continue
      const bend = h > 0 ? 1 / Math.sqrt(s * s + h * h) : 1
      const to = (at * rows + r) * n
      for (let l = 0; l < n; l++) this.slope[to + l] = sample.slopes[from * n + l]! * levers.width[l]! * bend
    }
    const key = this.keys.subarray(at * frame.keySize, (at + 1) * frame.keySize)
    judge(frame, this.figures, this.figures, key)
    fillTies(frame, u, key)
    this.grade[at] = grade
    this.lifts[at] = sample.lifts ? 1 : 0
    this.sloped[at] = slopes ? 1 : 0
    return at
  }

  key(sample: number): Float64Array {
    return this.keys.subarray(sample * this.frame.keySize, (sample + 1) * this.frame.keySize)
  }

  point(sample: number): Float64Array {
    const { n } = this.frame.levers
    return this.u.subarray(sample * n, (sample + 1) * n)
  }

  /** The largest violation of the musts at a sample, 0 where all are met. */
  violation(sample: number): number {
    return this.keys[sample * this.frame.keySize]!
  }

  /** Whether the best tight flight meets every must. */
  get solved(): boolean {
    return this.best >= 0 && this.bestKey[0] === 0
  }

  /** Whether the best tight flight meets every target: only aims and margins can be better. */
  get flawless(): boolean {
    const { bestKey } = this
    return this.best >= 0 && bestKey[0] === 0 && bestKey[1] === 0 && bestKey[2] === 0
  }

  private grow(): void {
    this.u = grown(this.u, new Float64Array(Math.max(64, 2 * this.u.length)))
    this.y = grown(this.y, new Float64Array(Math.max(64, 2 * this.y.length)))
    this.slope = grown(this.slope, new Float64Array(Math.max(64, 2 * this.slope.length)))
    this.keys = grown(this.keys, new Float64Array(Math.max(64, 2 * this.keys.length)))
    this.grade = grown(this.grade, new Uint8Array(2 * this.grade.length))
    this.lifts = grown(this.lifts, new Uint8Array(2 * this.lifts.length))
    this.sloped = grown(this.sloped, new Uint8Array(2 * this.sloped.length))
  }
}

/** A number (or, for huge lattices, a text) of its own for each setting. */
export function latticeId(levers: Levers, k: Int32Array): string | number {
  if (!(levers.size < 2 ** 53)) return k.join()
  let id = 0
  for (let l = 0; l < levers.n; l++) id = id * levers.count[l]! + k[l]!
  return id
}

/** Exact rows and liftoff at a point, by algebra alone. */
export function algebraAt(problem: SearchProblem, levers: Levers, u: Float64Array, x: Float64Array): Sample {
  valuesAt(levers, u, 0, x)
  return problem.algebra(x)
}
