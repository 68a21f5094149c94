import { createReadStream } from 'node:fs'
import { parse } from 'csv-parse'
import { CSV, cellsOf, csvFault } from '../open/csv.ts'
import type { FileRow, Variants, VariantTask } from '../variants/answer.ts'

/** A row longer than this has lost a closing quote. [characters] */
const LONGEST_ROW = 1_000_000

/** The rows of a variants file one by one, never the whole: the first names the columns. What breaks the file off is a last row. */
export async function* fileRows(path: string): AsyncGenerator<FileRow> {
  const file = createReadStream(path)
  let fault: string | null = null
  // An error of the parser's own would throw away the rows that it has read and nobody has taken yet.
  const parser = parse({
    ...CSV,
    max_record_size: LONGEST_ROW,
    skip_records_with_error: true,
    on_record: (row: string[]) => (fault === null ? cellsOf(row) : null),
    on_skip: error => {
      fault ??= csvFault(error)
      file.unpipe(parser)
      if (!parser.writableEnded) parser.end()
    },
  })
  file.on('error', error => parser.destroy(error))
  file.pipe(parser)
  try {
    for await (const row of parser) yield row as string[]
    if (fault !== null) yield { problem: `From here on the file cannot be read: ${fault}.` }
  } finally {
    file.destroy()
  }
}

/** The first row of a file, null where it is empty. */
export async function headOf(path: string): Promise<readonly string[] | null> {
  for await (const row of fileRows(path)) return Array.isArray(row) ? row : null
  return null
}

/** How many rows a file has below its first, about: blank lines, comments and line breaks inside cells make it less. */
export async function rowsAbout(path: string): Promise<number> {
  let lines = 0
  let last = 10
  for await (const part of createReadStream(path)) {
    const bytes = part as Uint8Array
    for (const byte of bytes) if (byte === 10) lines++
    last = bytes.at(-1) ?? last
  }
  return Math.max(0, lines - 1 + (last === 10 ? 0 : 1))
}

/** Which variants, how many in the next task, and how many of them were done before. */
export interface Portion {
  readonly share: readonly [number, number]
  readonly together: () => number
  readonly skip: number
}

/** Variants as tasks, in the order of their numbers; `paths` are the files of the blocks, block by block. */
export async function* tasksOf(
  { blocks }: Pick<Variants, 'blocks'>,
  paths: readonly (string | null)[],
  { share: [i, n], together, skip }: Portion,
): AsyncGenerator<VariantTask> {
  let before = 0
  let left = skip
  for (const [block, { count }] of blocks.entries()) {
    // The first place of this block whose number, counted over all blocks, belongs to the share.
    const begin = (((i - 1 - before) % n) + n) % n
    const path = paths[block] ?? null
    if (path !== null) {
      const seen = { rows: 0 }
      for await (const [place, rows] of portions(path, begin, n, together, seen)) {
        const fresh = rows.slice(Math.min(left, rows.length))
        const from = place + (rows.length - fresh.length) * n
        left -= rows.length - fresh.length
        if (fresh.length > 0) yield { block, first: before + from + 1, stride: n, work: { rows: fresh } }
      }
      before += seen.rows
      continue
    }
    const many = Math.max(0, Math.ceil((count! - begin) / n))
    const skipped = Math.min(left, many)
    left -= skipped
    for (let k = skipped; k < many; ) {
      const from = begin + k * n
      const size = Math.min(together(), many - k)
      yield { block, first: before + from + 1, stride: n, work: { from, count: size } }
      k += size
    }
    before += count!
  }
}

/** Every nth row of a file from the place `begin` on, some at a time, with the place of the first. */
async function* portions(
  path: string,
  begin: number,
  n: number,
  together: () => number,
  seen: { rows: number },
): AsyncGenerator<readonly [number, readonly FileRow[]]> {
  let head = true
  let rows: FileRow[] = []
  let [first, size] = [0, 0]
  for await (const row of fileRows(path)) {
    if (head) {
      head = false
      continue
    }
    const place = seen.rows++
    if (place % n !== begin) continue
    if (rows.length === 0) {
      first = place
      size = together()
    }
    rows.push(row)
    if (rows.length < size) continue
    yield [first, rows]
    rows = []
  }
  if (rows.length > 0) yield [first, rows]
}
