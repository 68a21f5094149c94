import type { Problem } from '../../grammar/source.ts'
import type { Outcome } from '../answer.ts'

/** A cell of a row: a number in its column's unit, a word (an outcome, a body, "infinity"), or null for no value. */
export type VariantCell = number | string | null

/** What a column holds. */
export type ColumnRole = 'variant' | 'block' | 'varied' | 'outcome' | 'setting' | 'value' | 'margin' | 'aim' | 'problem'

/** A column of the result. `header` is `name [unit]`, or the name alone. */
export interface VariantColumn {
  readonly header: string
  readonly role: ColumnRole
  readonly name: string
  /** Empty for words and plain numbers. */
  readonly unit: string
  /** Of a margin: the target's level. */
  readonly level?: 'must' | 'should' | 'could'
  /** Of a column that an aim is on: whether the least or the most is wanted. */
  readonly sense?: 'least' | 'most'
}

/** One variant as a plain row: its cells by header. */
export type VariantRow = Readonly<Record<string, VariantCell>>

/** A row of a variants file: the cells as written, or what is wrong with the line. */
export type FileRow = readonly string[] | { readonly problem: string }

/** Some variants of one block: a stretch of a cross product (places from 0), or rows of a file. `first` is the number of the first, `stride` the way to the next. */
export interface VariantTask {
  readonly block: number
  readonly first: number
  readonly stride: number
  readonly work: { readonly from: number; readonly count: number } | { readonly rows: readonly FileRow[] }
}

/** What variants are asked for; by default all. */
export interface VariantsRequest {
  readonly set?: Readonly<Record<string, string | number>>
  /** Only every nth variant from the ith on, `[i, n]`, 1 ≤ i ≤ n. */
  readonly share?: readonly [number, number]
  /** Only rows of this outcome. */
  readonly only?: Outcome
  /** First rows of the files that blocks name, block by block, where the caller reads these files himself. */
  readonly heads?: readonly (readonly string[] | null)[]
}

/** One block of variants. */
export interface VariantBlockAnswer {
  readonly name: string | null
  /** How many; null for a file whose rows are not counted. */
  readonly count: number | null
  readonly file: string | null
}

/** The variants of a sheet. Iterated, it solves one after the other. */
export interface Variants extends Iterable<VariantRow> {
  readonly sheet: string
  /** With an error among them there are no rows. */
  readonly problems: readonly Problem[]
  readonly columns: readonly VariantColumn[]
  readonly blocks: readonly VariantBlockAnswer[]
  /** Solves some of them, whatever was asked for in `share` and `only`: cells in the order of `columns`. */
  solve(task: VariantTask): readonly (readonly VariantCell[])[]
}
