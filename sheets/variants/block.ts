import type { Span } from '../../grammar/source.ts'
import type { Dimension } from '../../grammar/units/dimension.ts'
import type { Unit } from '../../grammar/units/unit.ts'
import type { Expr } from '../../solver/index.ts'
import type { RangeText } from '../open/range.ts'

/** What a column of variants moves. */
export type Moved =
  | { readonly kind: 'fact' | 'lever'; readonly name: string }
  /** The limit of a target, by its place; a band has two ends. */
  | { readonly kind: 'limit'; readonly target: number; readonly ends: 1 | 2 }
  | { readonly kind: 'body'; readonly flight: string }
  /** Nothing: words carried through to the result. */
  | { readonly kind: 'label' }

/** Something that varies. `dimension` and `unit` are null where it is told in words. */
export interface Varied {
  readonly name: string
  readonly moved: Moved
  readonly dimension: Dimension | null
  /** The unit its values are shown in, null where none is known yet. */
  readonly unit: Unit | null
}

/** A value of a list: an expression of what is known (`literal`: as written, where it is one in the column's unit), or words. */
export type EachValue =
  | { readonly expr: Expr; readonly literal: number | null; readonly span: Span }
  | { readonly text: string; readonly span: Span }

/** One `each` line, checked. */
export interface EachLine {
  readonly varied: Varied & { readonly unit: Unit | null }
  readonly span: Span
  readonly values:
    | { readonly kind: 'list'; readonly list: readonly EachValue[] }
    | {
        readonly kind: 'steps'
        readonly from: Expr
        readonly to: Expr
        readonly step: Expr
        readonly written: RangeText
      }
}

/** A block of variants, checked: the cross product of its lines, or a file. */
export interface VariantBlock {
  readonly name: string | null
  readonly span: Span
  readonly lines: readonly EachLine[]
  readonly file: string | null
}
