import type { Stretch } from '../../outline.ts'

/** One stretch of a text put in another's place. */
export interface Edit {
  readonly at: Stretch
  readonly with: string
}

/** A text with some stretches replaced, all else kept; stretches may not overlap. */
export function edited(text: string, ...edits: readonly Edit[]): string {
  const last = [...edits].sort((a, b) => b.at[0] - a.at[0])
  return last.reduce((all, { at, with: words }) => all.slice(0, at[0]) + words + all.slice(at[1]), text)
}

/** A number for a text: the digits that a hand's grain is worth, in plain form. */
export function plainNumber(value: number, grain: number): string {
  if (!Number.isFinite(value)) return '0'
  const places = Math.max(0, Math.min(12, Math.ceil(-Math.log10(Math.abs(grain) || 1) - 1e-9)))
  const fixed = Number(value.toFixed(places))
  return Object.is(fixed, -0) ? '0' : plain(fixed)
}

/** A double in digits that the language reads: without an exponent where that is short. */
function plain(value: number): string {
  return String(value).replace('e+', 'e')
}

/** 1, 2 or 5 times a power of ten, the nearest below a size: what one press of an arrow moves. */
export function stepBelow(size: number): number {
  const power = 10 ** Math.floor(Math.log10(Math.abs(size) || 1))
  const first = Math.abs(size) / power
  return (first >= 5 ? 5 : first >= 2 ? 2 : 1) * power
}

/** The smallest single edit that makes one text of another: what an editor is told, so that its cursor stays. */
export function difference(before: string, after: string): Edit | null {
  if (before === after) return null
  let from = 0
  const most = Math.min(before.length, after.length)
  while (from < most && before[from] === after[from]) from++
  let end = 0
  while (end < most - from && before[before.length - 1 - end] === after[after.length - 1 - end]) end++
  return { at: [from, before.length - end], with: after.slice(from, after.length - end) }
}
