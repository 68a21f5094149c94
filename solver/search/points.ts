import { type Box, shareOf } from './levers.ts'
import { Parting } from './parting.ts'
import type { Sample } from './problem.ts'
import { Queue } from './queue.ts'
import type { Run } from './run.ts'
import { latticeId, MEDIUM, TIGHT } from './samples.ts'

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
  /** All within a step of a setting. */
  private readonly about: Box
  private readonly parting: Parting
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
    this.about = { low: new Float64Array(n).fill(-1), high: new Float64Array(n).fill(1) }
    this.parting = new Parting(run)
    this.queue = new Queue(run.frame.keySize)
    this.key = new Float64Array(run.frame.keySize)
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
    const box = cell ? this.about : null
    if (samples.flawless && known && run.cannotMeet(box)) return false
    if (!run.mayBeBest(this.u, known, box, run.key)) return false
    return !cell || !samples.flawless || !known || this.parting.leadsOn(this.settings[place]!, this.u)
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
