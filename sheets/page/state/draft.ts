import { endedBy, lineEndOf } from '../../../grammar/lines.ts'
import type { Draft } from './history.ts'

/**
 * A text whose lines end as the editor's do: places in it are told by the worker and written over by hands, and both have to count alike. Other
 * machines end them with two signs.
 */
export function plainEnds(text: string): string {
  return text.replace(/\r\n?/g, '\n')
}

/** A sheet as it is opened: nothing is held, and its lines are to end again as most of them do. */
export function opened(text: string): Draft {
  return { text: plainEnds(text), lineEnd: lineEndOf(text), pins: {} }
}

/** The text of a sheet as it is saved, kept and sent: with the line ends it was opened with. */
export function written({ text, lineEnd }: Draft): string {
  return endedBy(text, lineEnd)
}

/** A draft from what was kept or sent, by whomever: only its text and numbers by name are taken. */
export function draftFrom(kept: unknown): Draft | null {
  if (!Array.isArray(kept) || typeof kept[0] !== 'string') return null
  const pins: unknown = kept[1]
  const entries = typeof pins === 'object' && pins !== null ? Object.entries(pins) : []
  return {
    ...opened(kept[0]),
    pins: Object.fromEntries(
      entries.filter((entry): entry is [string, number] => typeof entry[1] === 'number' && Number.isFinite(entry[1])),
    ),
  }
}
