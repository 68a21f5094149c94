import type { Part } from './frame.ts'
import { shareOf } from './levers.ts'
import { isWorse, mayWin } from './order.ts'
import type { Sample } from './problem.ts'
import { Queue } from './queue.ts'
import type { Box, Run } from './run.ts'
import { latticeId, MEDIUM, TIGHT } from './samples.ts'

type AimPart = Extract<Part, { kind: 'aim' }>

/** Lessons that no model has had. */
export const NEVER = -1

/** The settings of the lattice that a search has looked at, numbered in the order met, each with its algebra once known. */
export class Points {
  readonly run: Run
  readonly settings: Int32Array[] = []
  /** The point last looked at, in shares. */
  readonly u: Float64Array
  /** The cells that wait, room for a key, and for each setting the pass in which it was last met and the lessons that its cell's key stands on. */
  readonly queue: Queue
  readonly key: Float64Array
  round = 0
  readonly met: number[] = []
  readonly offered: number[] = []
  /** What a pass has dismissed (twice the setting, one more for the point than for the cell), and after how many lessons. */
  readonly dismissed: number[] = []
  readonly dismissedAt: number[] = []
  /** Room for a box about a setting and for its key; what aims of one lever are worth at its settings, by their place in the key. */
  private readonly box: Box
  private readonly spare: Float64Array
  private readonly aims = new Map<number, Float64Array>()
  private readonly seen = new Map<string | number, number>()
  private readonly algebra: (Sample | null)[] = []
  private readonly ids: (string | number)[] = []
  /** The setting whose prediction the model holds, which of the model's predictions that is, and whether anything told of it. */
  private held = -1
  /** The setting that `u` holds. */
  private placed = -1
  private prediction = -1
  private told = false

  constructor(run: Run) {
    this.run = run
    const { n } = run.frame.levers
    this.u = new Float64Array(n)
    this.box = { low: new Float64Array(n), high: new Float64Array(n) }
    this.queue = new Queue(run.frame.keySize)
    this.key = new Float64Array(run.frame.keySize)
    this.spare = new Float64Array(run.frame.keySize)
  }

  /** Begins a pass: nothing waits, nothing was met. */
  beginRound(): void {
    this.round++
    this.queue.clear()
    this.dismissed.length = 0
    this.dismissedAt.length = 0
  }

  /** Notes that a cell or point cannot be the best, by what the model has learnt so far or (`NEVER`) by less than that. */
  dismiss(item: number, lessons = this.run.model.lessons): void {
    this.dismissed.push(item)
    this.dismissedAt.push(lessons)
  }

  /** The number of a setting. */
  place(k: Int32Array): number {
    const id = latticeId(this.run.frame.levers, k)
    const known = this.seen.get(id)
    if (known !== undefined) return known
    const place = this.settings.length
    this.seen.set(id, place)
    this.settings.push(k.slice())
    this.algebra.push(null)
    this.met.push(0)
    this.offered.push(-1)
    this.ids.push(id)
    return place
  }

  /** Predicts a setting by the model; false where nothing tells of it. */
  predict(place: number): boolean {
    const { run, u } = this
    if (place === this.held && run.model.predictions === this.prediction) return this.told
    const algebra = this.algebraOf(place)
    this.told = run.model.predict(u, algebra)
    this.held = place
    this.prediction = run.model.predictions
    return this.told
  }

  /** Puts a setting in `u` and gives its algebra. */
  private algebraOf(place: number): Sample {
    const { run, u, algebra } = this
    if (place === this.placed) return algebra[place]!
    this.placed = place
    const k = this.settings[place]!
    for (let l = 0; l < u.length; l++) u[l] = shareOf(run.frame.levers, l, k[l]!)
    algebra[place] ??= run.algebraOf(this.ids[place]!, u)
    return algebra[place]!
  }

  /** Fills the run's key with the best that a setting (or `cell`: anything within a step of it) may be worth; whether that beats the best. */
  mayBeBest(place: number, cell: boolean): boolean {
    const { run } = this
    const { samples } = run
    if (samples.flawless && run.fallsShort(this.algebraOf(place), cell)) return false
    const known = this.predict(place)
    const box = cell ? this.box : null
    if (box) {
      box.low.fill(-1)
      box.high.fill(1)
    }
    if (samples.flawless && known && run.cannotMeet(box)) return false
    if (!this.boxMayBeBest(known, box, run.key)) return false
    return !box || !samples.flawless || !known || this.partsMayBeBest(place, box)
  }

  private boxMayBeBest(known: boolean, box: Box | null, key: Float64Array): boolean {
    const { run } = this
    const { samples } = run
    run.optimistic(this.u, known, box, key)
    return samples.best < 0 || mayWin(run.frame, key, 0, samples.bestKey)
  }

  /**
   * Whether a cell leads to anything better where the best meets every target: what is better has a better aim, or as good a one and a better next.
   * Where an aim hangs on one lever the cell falls into such parts. Each is looked at as it seems from here, wherever the other levers stand: what is
   * better may lie many steps along the part. Else a cell stays open for one part's aim and another's targets.
   */
  private partsMayBeBest(place: number, box: Box): boolean {
    const { parts, levers } = this.run.frame
    const k = this.settings[place]!
    for (let l = 0; l < levers.n; l++) {
      box.low[l] = -k[l]!
      box.high[l] = levers.count[l]! - 1 - k[l]!
    }
    for (const part of parts) {
      if (part.kind === 'margins' || (part.kind === 'aim' && part.lever < 0)) break
      if (part.kind !== 'aim') continue
      const { lever } = part
      const [low, high] = [Math.max(-1, box.low[lever]!), Math.min(1, box.high[lever]!)]
      const better = this.stepsOf(place, part, -1)
      if (better) {
        box.low[lever] = Math.max(low, better[0])
        box.high[lever] = Math.min(high, better[1])
        if (box.low[lever]! <= box.high[lever]! && this.boxMayBeBest(true, box, this.spare)) return true
      }
      const tied = this.stepsOf(place, part, 0)
      if (!tied) return false
      box.low[lever] = Math.max(low, tied[0])
      box.high[lever] = Math.min(high, tied[1])
      if (box.low[lever]! > box.high[lever]!) return false
    }
    return this.boxMayBeBest(true, box, this.spare)
  }

  /** The first and last of the steps about a setting, −1 to 1, at which an aim of one lever is better than the best (`how` −1) or as good (0); null for none. */
  private stepsOf(place: number, part: AimPart, how: -1 | 0): readonly [number, number] | null {
    const { frame, samples } = this.run
    const k = this.settings[place]![part.lever]!
    const best = samples.bestKey[part.at]!
    let first = 2
    let last = -2
    for (let by = -1; by <= 1; by++) {
      if (k + by < 0 || k + by >= frame.levers.count[part.lever]!) continue
      const value = this.aimAt(place, part, by)
      const better = isWorse(frame, part.at, best, value)
      if (how === -1 ? !better : better || isWorse(frame, part.at, value, best)) continue
      first = Math.min(first, by)
      last = by
    }
    return first <= last ? [first, last] : null
  }

  /** What an aim of one lever is worth so many steps from a setting: worked out once for each setting of that lever. */
  private aimAt(place: number, { at, lever, row, sign }: AimPart, by: number): number {
    const { frame } = this.run
    const known = this.aims.get(at) ?? new Float64Array(frame.levers.count[lever]!).fill(Number.NaN)
    this.aims.set(at, known)
    const k = this.settings[place]!
    const to = k[lever]! + by
    if (Number.isNaN(known[to]!)) {
      const there = k.slice()
      there[lever] = to
      known[to] = sign * this.algebraOf(this.place(there)).rows[frame.rowAt[row]!]!
      this.algebraOf(place)
    }
    return known[to]!
  }

  /** Flies a setting if it may be the best: well, then, if it still may, tight. Gives the flights made. */
  try(place: number): number {
    const { run } = this
    const k = this.settings[place]!
    let flown = 0
    if (!this.mayBeBest(place, false)) return 0
    if (run.samples.known(k, MEDIUM) < 0) {
      run.model.learn(run.samples.flySetting(k, MEDIUM))
      flown++
      if (!this.mayBeBest(place, false)) return flown
    }
    if (run.samples.known(k, TIGHT) >= 0) return flown
    run.samples.flySetting(k, TIGHT)
    return flown + 1
  }

  /** Flies a setting well, whatever it may be worth, so that the model learns what is about it. Gives the flights made. */
  teach(place: number): number {
    const { run } = this
    const k = this.settings[place]!
    if (run.samples.known(k, MEDIUM) >= 0) return 0
    run.model.learn(run.samples.flySetting(k, MEDIUM))
    return 1
  }

  /** Whether a setting was flown tightly. */
  done(place: number): boolean {
    return this.run.samples.known(this.settings[place]!, TIGHT) >= 0
  }
}
