import type { Outcome } from '../answer.ts'
import type { Variants, VariantTask } from './answer.ts'
import { emptyTally, Tally, type TallyState, type TallyWishes } from './tally.ts'
import { type RowFormat, rowsText } from './written.ts'

/** What is wanted of every variant. */
export interface BatchWishes {
  readonly format: RowFormat
  /** Only rows of this outcome are written; all are counted. */
  readonly only: Outcome | null
  readonly tally: TallyWishes
}

/** A task done: its rows as text and what there is to know of them. Much less to hand on than the rows themselves. */
export interface Batch {
  readonly many: number
  readonly text: string
  readonly tally: TallyState
}

/** Solves a task and makes its rows ready to be written. */
export function batchOf(variants: Variants, task: VariantTask, { format, only, tally }: BatchWishes): Batch {
  const { columns } = variants
  const rows = variants.solve(task)
  const counted = new Tally(columns, tally, emptyTally(), Number.POSITIVE_INFINITY)
  for (const row of rows) counted.take(row)
  const outcome = columns.findIndex(column => column.role === 'outcome')
  const kept = only === null ? rows : rows.filter(row => row[outcome] === only)
  return { many: rows.length, text: rowsText(kept, columns, format), tally: counted.state }
}
