import type { Frame } from './frame.ts'
import { shareOf } from './levers.ts'
import { judge } from './margin.ts'
import { fillTies, isWorse } from './order.ts'
import type { Sample } from './problem.ts'
import { FIRST_AIM, type Run } from './run.ts'
import { eachSetting } from './sweep.ts'

/** A setting with the best key that it may have, as far as is known. */
export interface Promising {
  readonly k: Int32Array
  readonly key: Float64Array
}

/** The settings of the box with the best keys that their algebra lets them have, the most promising first. */
export function promising(run: Run): Promising[] {
  const settings: Promising[] = []
  eachOpen(run, (k, _, key) => settings.push({ k: k.slice(), key: key.slice() }))
  return settings.sort((a, b) => firstDifference(a.key, 0, b.key, 0, run.frame.keySize))
}

/** Calls back with each setting of the box that its algebra alone (without slopes) does not put out, and with the best key that it lets it have. */
export function eachOpen(run: Run, visit: (k: Int32Array, algebra: Sample, key: Float64Array) => void): void {
  const { frame, samples } = run
  const { levers } = frame
  const key = new Float64Array(frame.keySize)
  const [low, high] = [new Float64Array(frame.rows), new Float64Array(frame.rows)]
  const u = new Float64Array(levers.n)
  const outByAim = shortOfAim(run)
  eachSetting(frame, k => {
    if (outByAim?.(k)) return
    for (let l = 0; l < u.length; l++) u[l] = shareOf(levers, l, k[l]!)
    const algebra = run.algebra(u, false)
    if (samples.flawless && run.fallsShort(algebra, false)) return
    spread(frame, algebra, low, high)
    judge(frame, low, high, key)
    fillTies(frame, u, key)
    if (samples.best < 0 || !isOut(frame, key, samples.bestKey)) visit(k, algebra, key)
  })
}

/** Tells of a setting whether the first aim puts it out, once for all that differ in levers alone which the aim does not hang on; null where it hangs on all, or is flown. */
function shortOfAim(run: Run): ((k: Int32Array) => boolean) | null {
  const { frame, samples } = run
  const { levers } = frame
  const part = frame.parts[FIRST_AIM]
  if (!samples.flawless || part?.kind !== 'aim' || !frame.exact[part.row]) return null
  const reach = frame.problem.rows[frame.rowAt[part.row]!]!.reach
  if (!reach?.includes(false)) return null
  const by = [...levers.count.keys()].filter(l => reach[l])
  const known = new Int8Array(by.reduce((size, l) => size * levers.count[l]!, 1))
  const u = new Float64Array(levers.n)
  return k => {
    let id = 0
    for (const l of by) id = id * levers.count[l]! + k[l]!
    if (known[id] === 0) {
      for (let l = 0; l < u.length; l++) u[l] = shareOf(levers, l, k[l]!)
      known[id] = run.fallsShort(run.algebra(u, false), false) ? 1 : 2
    }
    return known[id] === 1
  }
}

/** Where each row's figure may lie by algebra alone: one that is flown anywhere. */
function spread(frame: Frame, { rows }: Sample, low: Float64Array, high: Float64Array): void {
  for (let r = 0; r < frame.rows; r++) {
    const value = rows[frame.rowAt[r]!]!
    const figure = frame.figure[r]
    const exact = frame.exact[r] === 1
    const known = figure ? figure(value) : value
    low[r] = exact ? known : Number.NEGATIVE_INFINITY
    high[r] = exact ? known : Number.POSITIVE_INFINITY
  }
}

/** What one key, so many numbers from a place on, has more than another where they first differ: by it the most promising come first. */
export function firstDifference(a: Float64Array, from: number, b: Float64Array, at: number, size: number): number {
  for (let k = 0; k < size; k++) if (a[from + k] !== b[at + k]) return a[from + k]! - b[at + k]!
  return 0
}

/** Whether a key, each place of which may yet turn out worse, is out whatever it turns out to be: it betters the best nowhere before a place where it is worse than a tie. */
export function isOut(frame: Frame, key: Float64Array, best: Float64Array): boolean {
  for (let k = 0; k < frame.keySize; k++) {
    if (key[k]! < best[k]!) return false
    if (isWorse(frame, k, key[k]!, best[k]!)) return true
  }
  return false
}
