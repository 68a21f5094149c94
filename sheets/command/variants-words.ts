import { availableParallelism } from 'node:os'
import type { Outcome } from '../answer.ts'
import type { VariantColumn } from '../variants/answer.ts'
import { variedPlaces } from '../variants/varied.ts'
import type { RowFormat } from '../variants/written.ts'
import type { Common } from './opened.ts'
import { Refusal } from './shell.ts'

export interface VariantsOptions extends Common {
  readonly set?: readonly string[]
  readonly out?: string
  /** The spreadsheet or Parquet file, as the command was told, that the rows in `out` are for. */
  readonly book?: string
  readonly workers?: string
  readonly resume?: boolean
  readonly share?: string
  readonly rank?: string
  readonly only?: string
  readonly quiet?: boolean
  readonly join?: boolean
  readonly picture?: string
  readonly across?: string
  readonly up?: string
  readonly theme?: string
}

/** What the words of the command ask for, checked. */
export interface Wanted {
  readonly format: RowFormat
  readonly workers: number
  readonly share: readonly [number, number]
  readonly only: Outcome | null
}

const MOST_WORKERS = 256

export function wantedOf(options: VariantsOptions): Wanted {
  return {
    format: options.json && options.out === undefined ? 'ndjson' : formatOf(options.out),
    workers: workersOf(options.workers),
    share: shareOf(options.share),
    only: onlyOf(options.only),
  }
}

export function formatOf(out: string | undefined): RowFormat {
  const kind = out === undefined ? 'csv' : /\.([a-z]+)$/i.exec(out)?.[1]?.toLowerCase()
  if (kind === 'csv' || kind === 'ndjson') return kind
  throw new Refusal(
    `"${out}" is not a kind of file that variants writes; name one that ends in .csv, .ndjson, .parquet or .xlsx.`,
  )
}

function workersOf(written: string | undefined): number {
  if (written === undefined) return availableParallelism()
  const workers = Number(written)
  if (Number.isInteger(workers) && workers >= 1 && workers <= MOST_WORKERS) return workers
  throw new Refusal(`"--workers ${written}" is not a number of workers, 1 to ${MOST_WORKERS}.`)
}

/** `3/16`: every 16th from the 3rd on. */
function shareOf(written: string | undefined): readonly [number, number] {
  if (written === undefined) return [1, 1]
  const [, i, n] = (/^(\d{1,9})\/(\d{1,9})$/.exec(written.trim()) ?? []).map(Number)
  if (i !== undefined && n !== undefined && i >= 1 && i <= n) return [i, n]
  throw new Refusal(`"--share ${written}" is no share; write 3/16 for every 16th variant from the 3rd on.`)
}

function onlyOf(written: string | undefined): Outcome | null {
  if (written === undefined) return null
  const found = (['solved', 'conflict', 'unsure', 'faulty'] as const).find(outcome => outcome === written)
  if (found) return found
  throw new Refusal(`"--only ${written}" is none of solved, conflict, unsure and faulty.`)
}

/** Columns of words, which nothing can be ranked by. */
const WORDS: readonly VariantColumn['role'][] = ['block', 'outcome', 'problem']

/** A column by its name or header; "most apoapsis" and "least apoapsis" say which end is better. */
export function rankOf(written: string, columns: readonly VariantColumn[]): { place: number; sense: 'least' | 'most' } {
  const [, sense, name] = /^(?:(least|most)\s+)?(.*)$/.exec(written.trim().replace(/\s+/g, ' ')) ?? []
  const place = columns.findIndex(
    column => !WORDS.includes(column.role) && (column.name === name || column.header === name),
  )
  if (place < 0) {
    const known = columns.filter(
      ({ role }) => role === 'aim' || role === 'value' || role === 'margin' || role === 'setting',
    )
    throw new Refusal(`"--rank ${written}" names no column. There are: ${known.map(column => column.name).join(', ')}.`)
  }
  const usual = columns[place]!.sense ?? (columns[place]!.role === 'margin' ? 'most' : 'least')
  return { place, sense: (sense as 'least' | 'most' | undefined) ?? usual }
}

/** The two columns of a picture: those asked for, or the first two that vary. */
export function crossOf({ across, up }: VariantsOptions, columns: readonly VariantColumn[]): readonly [number, number] {
  const varied = variedPlaces(columns)
  const names = varied.map(place => columns[place]!.name)
  const asked = [across, up].map(written => {
    if (written === undefined) return undefined
    const place = names.indexOf(written.trim().replace(/\s+/g, ' '))
    if (place < 0) throw new Refusal(`"${written}" does not vary here. There are: ${names.join(', ')}.`)
    return varied[place]!
  })
  const rest = varied.filter(place => !asked.includes(place))
  const [first, second] = asked.map(place => place ?? rest.shift())
  if (first === undefined || second === undefined || first === second)
    throw new Refusal('A picture needs two quantities that vary; name them with --across and --up.')
  return [first, second]
}
