import { workerData } from 'node:worker_threads'
import { openSheet } from '../index.ts'
import type { Variants, VariantTask } from '../variants/answer.ts'
import type { Opening, WorkerStart } from './variants-crew.ts'
import { type Done, timed } from './variants-pace.ts'

// The pool hands over its own settings first, then ours.
const data: unknown = workerData
const { opening, wishes } = (Array.isArray(data) ? data[1] : data) as WorkerStart

/** One of several that solve variants: opens the sheet once, then solves what it is given. */
let ready: Variants | null = null

function opened({ text, name, texts, set, heads }: Opening): Variants {
  const load = (path: string): string => {
    const text = texts[path]
    if (text === undefined) throw new Error('it was not read.')
    return text
  }
  return openSheet(text, { name, load }).variants({ set, heads })
}

export default function work(task: VariantTask): Done {
  ready ??= opened(opening)
  return timed(ready, task, wishes)
}
