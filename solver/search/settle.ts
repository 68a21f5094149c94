import type { Frame } from './frame.ts'
import { nearestSetting, shareOf } from './levers.ts'
import { mayWin, TIE } from './order.ts'
import type { Sample } from './problem.ts'
import { Queue } from './queue.ts'
import type { Run } from './run.ts'
import { latticeId, MEDIUM, TIGHT } from './samples.ts'

const MOST_CELLS = 6000
const MOST_POINTS = 300
const MOST_ROUNDS = 6

/** The setting nearest to a point in shares. */
export function rounded(run: Run, u: Float64Array): Int32Array {
  const { levers } = run.frame
  return Int32Array.from(u, (share, l) => nearestSetting(levers, l, share))
}

/**
 * Settles the steps of one or two levers exactly, as far as the model's error bars hold: best first over the lattice from a
 * setting, a cell opened while it may hold something better than the best tight flight, a point flown while it may be better.
 * Begins anew from the best with the finished model until a round flies nothing. True where nothing was cut short.
 */
export function settle(run: Run, from: Int32Array): boolean {
  const lattice = new Lattice(run)
  let start = from
  let points = 0
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const flown = lattice.round(start, MOST_POINTS - points)
    if (flown < 0) return false
    if (flown === 0) return true
    points += flown
    if (run.samples.best >= 0) start = rounded(run, run.samples.point(run.samples.best))
  }
  return false
}

class Lattice {
  private readonly run: Run
  private readonly frame: Frame
  private readonly queue: Queue
  private readonly seen = new Map<string | number, number>()
  private readonly settings: Int32Array[] = []
  private readonly algebra: (Sample | null)[] = []
  private readonly key: Float64Array
  private readonly u: Float64Array
  private readonly waiting = new Set<number>()

  constructor(run: Run) {
    this.run = run
    this.frame = run.frame
    this.queue = new Queue(run.frame.keySize)
    this.key = new Float64Array(run.frame.keySize)
    this.u = new Float64Array(run.frame.levers.n)
  }

  /** One pass; gives how many points it flew, −1 where it was cut short. */
  round(start: Int32Array, most: number): number {
    const { run, frame, queue, key } = this
    const { samples } = run
    while (queue.pop(key) >= 0);
    this.waiting.clear()
    let flown = 0
    const first = this.place(start)
    flown += this.tryPoint(first)
    this.pushCell(first)
    let cells = 0
    for (;;) {
      const item = queue.pop(key)
      if (item < 0) return flown
      if (samples.best >= 0 && !mayWin(frame, key, 0, samples.bestKey)) {
        if (isBeyond(key, samples.bestKey)) return flown
        continue
      }
      if (run.spent) return -1
      if (item % 2 === 0) {
        if (++cells > MOST_CELLS) return -1
        this.open(item / 2)
      } else {
        if (flown >= most) return -1
        flown += this.tryPoint((item - 1) / 2)
      }
    }
  }

  /** The number of a setting among those seen. */
  private place(k: Int32Array): number {
    const id = latticeId(this.frame.levers, k)
    const known = this.seen.get(id)
    if (known !== undefined) return known
    const place = this.settings.length
    this.seen.set(id, place)
    this.settings.push(k.slice())
    this.algebra.push(null)
    return place
  }

  private predict(place: number): boolean {
    const { run, frame, u, algebra } = this
    const k = this.settings[place]!
    for (let l = 0; l < u.length; l++) u[l] = shareOf(frame.levers, l, k[l]!)
    algebra[place] ??= run.algebra(u)
    return run.model.predict(u, algebra[place]!)
  }

  private pushCell(place: number): void {
    if (this.waiting.has(place)) return
    this.waiting.add(place)
    const known = this.predict(place)
    this.run.optimistic(this.u, known, true, this.run.key)
    if (this.mayStillWin()) this.queue.push(this.run.key, 2 * place)
  }

  private mayStillWin(): boolean {
    const { samples } = this.run
    return samples.best < 0 || mayWin(this.frame, this.run.key, 0, samples.bestKey)
  }

  private open(place: number): void {
    const { count, n } = this.frame.levers
    const k = this.settings[place]!
    const next = k.slice()
    const turns = 3 ** n
    for (let turn = 0; turn < turns; turn++) {
      let inside = true
      for (let l = 0, rest = turn; l < n; l++, rest = Math.floor(rest / 3)) {
        next[l] = k[l]! + (rest % 3) - 1
        if (next[l]! < 0 || next[l]! >= count[l]!) inside = false
      }
      if (inside) this.pushCell(this.place(next))
    }
    const known = this.predict(place)
    this.run.optimistic(this.u, known, false, this.run.key)
    if (this.mayStillWin()) this.queue.push(this.run.key, 2 * place + 1)
  }

  /** Flies a point if it still may win: well, then, if it still may, tight. Gives the flights made. */
  private tryPoint(place: number): number {
    const { run } = this
    const k = this.settings[place]!
    let flown = 0
    if (!this.couldBeBest(place)) return 0
    if (run.samples.known(k, MEDIUM) < 0) {
      run.model.learn(run.samples.flySetting(k, MEDIUM))
      flown++
      if (!this.couldBeBest(place)) return flown
    }
    if (run.samples.known(k, TIGHT) >= 0) return flown
    run.samples.flySetting(k, TIGHT)
    return flown + 1
  }

  private couldBeBest(place: number): boolean {
    const known = this.predict(place)
    this.run.optimistic(this.u, known, false, this.run.key)
    return this.mayStillWin()
  }
}

/** Whether no later key of the queue can win either: worse at the first place where it differs at all. */
function isBeyond(key: Float64Array, best: Float64Array): boolean {
  for (let k = 0; k < key.length; k++) {
    if (key[k] === best[k]) continue
    return key[k]! > best[k]! + TIE * Math.max(1, Math.abs(best[k]!))
  }
  return true
}
