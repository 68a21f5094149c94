import type { Part } from './frame.ts'
import { type Box, shareOf } from './levers.ts'
import { isWorse } from './order.ts'
import type { Run } from './run.ts'
import { latticeId } from './samples.ts'

type AimPart = Extract<Part, { kind: 'aim' }>

/**
 * Parts the cells of a settling search by its aims, where the best meets every target: what is better has a better aim, or as good a one and a
 * better next. Where an aim hangs on one lever a cell falls into such parts; whole, it stays open for one part's aim and another's targets.
 */
export class Parting {
  private readonly run: Run
  private readonly box: Box
  private readonly key: Float64Array
  /** Room for a setting near by, in shares. */
  private readonly beside: Float64Array
  /** What aims of one lever are worth at its settings, by their place in the key. */
  private readonly aims = new Map<number, Float64Array>()

  constructor(run: Run) {
    const { n } = run.frame.levers
    this.run = run
    this.box = { low: new Float64Array(n), high: new Float64Array(n) }
    this.key = new Float64Array(run.frame.keySize)
    this.beside = new Float64Array(n)
  }

  /**
   * Whether the cell of a setting `k`, at `u` in shares, which the model has predicted, leads to anything better. Each part is looked at as it seems
   * from there, wherever the other levers stand: what is better may lie many steps along it.
   */
  leadsOn(k: Int32Array, u: Float64Array): boolean {
    const { run, box, key } = this
    const { parts, levers } = run.frame
    for (let l = 0; l < levers.n; l++) {
      box.low[l] = -k[l]!
      box.high[l] = levers.count[l]! - 1 - k[l]!
    }
    for (const part of parts) {
      if (part.kind === 'margins' || (part.kind === 'aim' && part.lever < 0)) break
      if (part.kind !== 'aim') continue
      const { lever } = part
      const [low, high] = [Math.max(-1, box.low[lever]!), Math.min(1, box.high[lever]!)]
      const within = (steps: readonly [number, number] | null): boolean => {
        box.low[lever] = Math.max(low, steps?.[0] ?? 2)
        box.high[lever] = Math.min(high, steps?.[1] ?? -2)
        return box.low[lever]! <= box.high[lever]!
      }
      if (within(this.stepsOf(k, part, 'better')) && run.mayBeBest(u, true, box, key)) return true
      if (!within(this.stepsOf(k, part, 'as good'))) return false
    }
    return run.mayBeBest(u, true, box, key)
  }

  /** The first and last of the steps about a setting, −1 to 1, at which an aim of one lever is better than the best or as good; null for none. */
  private stepsOf(k: Int32Array, part: AimPart, how: 'better' | 'as good'): readonly [number, number] | null {
    const { frame, samples } = this.run
    const best = samples.bestKey[part.at]!
    let first = 2
    let last = -2
    for (let by = -1; by <= 1; by++) {
      const to = k[part.lever]! + by
      if (to < 0 || to >= frame.levers.count[part.lever]!) continue
      const value = this.aimAt(k, part, to)
      const better = isWorse(frame, part.at, best, value)
      if (how === 'better' ? !better : better || isWorse(frame, part.at, value, best)) continue
      first = Math.min(first, by)
      last = by
    }
    return first <= last ? [first, last] : null
  }

  /** What an aim of one lever is worth with that lever at its setting `to`: worked out once for each. */
  private aimAt(k: Int32Array, { at, lever, row, sign }: AimPart, to: number): number {
    const { run, beside } = this
    const { levers, rowAt } = run.frame
    const known = this.aims.get(at) ?? new Float64Array(levers.count[lever]!).fill(Number.NaN)
    this.aims.set(at, known)
    if (Number.isNaN(known[to]!)) {
      const there = k.slice()
      there[lever] = to
      for (let l = 0; l < levers.n; l++) beside[l] = shareOf(levers, l, there[l]!)
      known[to] = sign * run.algebraOf(latticeId(levers, there), beside).rows[rowAt[row]!]!
    }
    return known[to]!
  }
}
