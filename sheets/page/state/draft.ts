import type { Draft } from './history.ts'

/**
 * A text whose lines end as the editor's do: places in it are told by the worker and written over by hands, and both have to count alike. Other
 * machines end them with two signs.
 */
export function plainEnds(text: string): string {
  return text.replace(/\r\n?/g, '\n')
}

/** A draft from what was kept or sent, by whomever: only its text and numbers by name are taken. */
export function draftFrom(kept: unknown): Draft | null {
  if (!Array.isArray(kept) || typeof kept[0] !== 'string') return null
  const pins: unknown = kept[1]
  const entries = typeof pins === 'object' && pins !== null ? Object.entries(pins) : []
  return {
    text: plainEnds(kept[0]),
    pins: Object.fromEntries(
      entries.filter((entry): entry is [string, number] => typeof entry[1] === 'number' && Number.isFinite(entry[1])),
    ),
  }
}
