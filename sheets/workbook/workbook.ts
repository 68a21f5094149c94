/** A cell of a spreadsheet: a number, words, a formula with the value it has here, or nothing. */
export type WorkbookCell =
  | { readonly kind: 'number'; readonly value: number }
  | { readonly kind: 'words'; readonly value: string; readonly strong?: true }
  | { readonly kind: 'formula'; readonly value: string }
  | null

/** One sheet of a spreadsheet: its first row is the heading, which stays in view. */
export interface WorkbookSheet {
  readonly name: string
  readonly rows: readonly (readonly WorkbookCell[])[]
  /** Widths of the columns [letters]. */
  readonly widths: readonly number[]
}

export function words(value: string): WorkbookCell {
  return value === '' ? null : { kind: 'words', value }
}

export function heading(...names: readonly string[]): readonly WorkbookCell[] {
  return names.map(value => ({ kind: 'words', value, strong: true }))
}

/** A number; one that a spreadsheet has no form for (infinite, none) is told in words. */
export function number(value: number | string | null): WorkbookCell {
  if (typeof value === 'number' && Number.isFinite(value)) return { kind: 'number', value }
  return value === null || typeof value === 'number' ? words(value === null ? '' : String(value)) : words(value)
}
