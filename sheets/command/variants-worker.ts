import { workerData } from 'node:worker_threads'
import { openSheet } from '../index.ts'
import type { Variants, VariantTask } from '../variants/answer.ts'
import type { Opening } from './variants-crew.ts'

/** One of several that solve variants: opens the sheet once, then solves what it is given. */
let ready: Variants | null = null

function opened(): Variants {
  // The pool hands over its own settings first, then ours.
  const data: unknown = workerData
  const { text, name, texts, set, heads } = (Array.isArray(data) ? data[1] : data) as Opening
  const load = (path: string): string => {
    const text = texts[path]
    if (text === undefined) throw new Error('it was not read.')
    return text
  }
  return openSheet(text, { name, load }).variants({ set, heads })
}

export default function work(task: VariantTask): ReturnType<Variants['solve']> {
  ready ??= opened()
  return ready.solve(task)
}
