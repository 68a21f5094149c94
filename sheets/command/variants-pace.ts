import type { Variants, VariantTask } from '../variants/answer.ts'
import { type Batch, type BatchWishes, batchOf } from '../variants/batch.ts'

/** A task done, and how long it took. [ms] */
export interface Done {
  readonly batch: Batch
  readonly took: number
}

/** Solves a task with an eye on the clock. */
export function timed(variants: Variants, task: VariantTask, wishes: BatchWishes): Done {
  const begun = performance.now()
  const batch = batchOf(variants, task, wishes)
  return { batch, took: performance.now() - begun }
}

/** How many variants the next task holds. */
export interface Pace {
  readonly together: () => number
  readonly heard: (done: Done) => void
}

/** A task that takes so long is worth its handing over, and nothing is lost by waiting for it. [ms] */
const LENGTH = 30
const MOST_TOGETHER = 500

/** Tasks under way for each hand: enough to keep all busy, little to wait for. */
export const AHEAD = 4

/** Begins with small tasks, so that all hands have one (`left` variants in all), and goes on as fast as they turn out to be. */
export function paceOf(left: number, hands: number): Pace {
  const even = Math.max(1, Math.ceil(left / (hands * AHEAD)))
  let each = LENGTH / 8
  return {
    together: () => Math.max(1, Math.min(even, MOST_TOGETHER, Math.round(LENGTH / each))),
    heard: ({ batch, took }) => {
      if (batch.many > 0) each += (Math.max(took, 0.01) / batch.many - each) / 4
    },
  }
}
