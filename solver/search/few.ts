import type { Levers } from './levers.ts'
import { isOut, type Promising, promising } from './promising.ts'
import type { Run } from './run.ts'
import { TIGHT } from './samples.ts'

/** Boxes of no more settings than this are flown whole: mostly twice the flights of a search of two levers, in about its time. */
const FEW = 150
/** With more levers a search makes far more flights, and is less sure: for no more than it makes, so many settings are flown whole. */
const FEW_OF_MANY = 400
/** Where work is bounded (to some hundreds of flights: `conflict/explain.ts`), no more than it lasts for: a box half flown tells less than a search that begins at the nearest. */
const FEW_BOUNDED = 96
/** So many levers are many. */
const MANY = 3

/** Whether a box holds so few settings that all of them are flown, but for those that algebra rules out. `limit`: flights' worth of work that may be spent. */
export function isFew({ n, size }: Levers, limit = Number.POSITIVE_INFINITY): boolean {
  if (limit < Number.POSITIVE_INFINITY) return size <= FEW_BOUNDED
  return size <= (n >= MANY ? FEW_OF_MANY : FEW)
}

/** What going through a box came to. */
export interface Through {
  /** Nothing in it is left that could be better. */
  readonly whole: boolean
  /** Some setting was left open by algebra alone: then what is said of the musts rests on flights. */
  readonly open: boolean
}

/**
 * Flies the settings of a box tightly, what algebra promises most first, but for those that cannot be the best by their algebra alone.
 * What is best among the samples then is the best there is, in every level and every tie; with `any` the first that meets the musts will do.
 * Looser flights would cost half as much, but what they may be off by is bounded by nothing: figures jump where an event is just missed.
 */
export function flyFew(run: Run, any = false): Through {
  const { frame, samples } = run
  let waiting = promising(run)
  const open = waiting.some(({ key }) => key[0] === 0)
  const out = (key: Float64Array): boolean => samples.best >= 0 && isOut(frame, key, samples.bestKey)
  for (let flown = true; flown; ) {
    flown = false
    const dismissed: Promising[] = []
    for (const each of waiting) {
      if (out(each.key)) {
        dismissed.push(each)
        continue
      }
      // The first is flown in any case.
      if (samples.best >= 0 && samples.known(each.k, TIGHT) < 0 && run.spent) return { whole: false, open }
      const sample = samples.flySetting(each.k, TIGHT, false, true)
      flown = true
      // What is out changes nothing at any level of the filter.
      if (!out(samples.key(sample))) samples.sift()
      if (any && samples.solved) return { whole: false, open }
    }
    // Ties move with the best, so that what lost to one of them is heard again.
    waiting = dismissed
  }
  return { whole: true, open }
}
