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

/**
 * Where a stretch of one text, within a line, stands in another that came of it; null where it is not to be found, since something else was
 * written over it. It stays the same stretch when the number that it begins with is another one.
 */
export function followed(at: Stretch, before: string, after: string): Stretch | null {
  return besideEdit(at, before, after) ?? inItsLine(at, before, after)
}

const NUMBER = /^[-+−]?[\d.]+(?:[eE][-+−]?\d+)?/

function sameButNumber(one: string, other: string): boolean {
  return one === other || (NUMBER.test(other) && one.replace(NUMBER, '') === other.replace(NUMBER, ''))
}

/** Of one edit: the stretch lies before or behind it, or its number is what was edited. */
function besideEdit([from, to]: Stretch, before: string, after: string): Stretch | null {
  const edit = difference(before, after)
  if (!edit) return [from, to]
  const grown = edit.with.length - (edit.at[1] - edit.at[0])
  const inside = edit.at[0] >= from && edit.at[1] <= to
  if (inside && sameButNumber(before.slice(from, to), after.slice(from, to + grown))) return [from, to + grown]
  if (edit.at[1] <= from) return [from + grown, to + grown]
  return edit.at[0] >= to ? [from, to] : null
}

/** Of several edits: what stands around it in its line is as it was, and as many lines are like it as there were. */
function inItsLine([from, to]: Stretch, before: string, after: string): Stretch | null {
  const end = before.indexOf('\n', to)
  const head = before.slice(before.lastIndexOf('\n', from - 1) + 1, from)
  const [words, tail] = [before.slice(from, to), before.slice(to, end === -1 ? before.length : end)]
  const like = (text: string): readonly Stretch[] => {
    let start = 0
    return text.split('\n').flatMap(line => {
      const at = [start + head.length, start + line.length - tail.length] as const
      start += line.length + 1
      const around = at[1] >= at[0] && line.startsWith(head) && line.endsWith(tail)
      return around && sameButNumber(words, text.slice(...at)) ? [at] : []
    })
  }
  const [were, are] = [like(before), like(after)]
  return were.length === are.length ? (are[were.findIndex(each => each[0] === from)] ?? null) : null
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
