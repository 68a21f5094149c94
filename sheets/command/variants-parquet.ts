import { createReadStream, writeFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { createInterface } from 'node:readline'
import { ByteWriter, ParquetWriter } from 'hyparquet-writer'
import type { VariantCell, VariantColumn } from '../variants/answer.ts'
import type { Whole } from './variants-apart.ts'
import { writeWholeBy } from './writing.ts'

/** Rows held at a time, and written as one group: readers skip whole groups, and none is large. */
const GROUP = 20_000

/** What a column of a Parquet file holds: all its cells are of one kind, or have no value. */
type Kind = 'number' | 'count' | 'words'

/** The elements of a schema (Apache Parquet format, `parquet.thrift`: SchemaElement). */
const ELEMENTS = {
  number: { type: 'DOUBLE', repetition_type: 'OPTIONAL' },
  count: { type: 'INT64', repetition_type: 'REQUIRED' },
  words: { type: 'BYTE_ARRAY', converted_type: 'UTF8', repetition_type: 'OPTIONAL' },
} as const

/** Variants as one Parquet file, columns by their headers. */
export function parquetOf(out: string): Whole {
  return {
    kind: 'Parquet file',
    rows: 'ndjson',
    write: async (path, columns, shell) => {
      const kinds = await kindsOf(path, columns)
      await writeWholeBy(resolve(shell.folder, out), out, file => writeRows(file, path, columns, kinds))
    },
  }
}

/**
 * What each column holds. Whether what varies is numbers is seen from all its cells: a bad row of a file has the words there that are no number.
 */
async function kindsOf(path: string, columns: readonly VariantColumn[]): Promise<readonly Kind[]> {
  const kinds = columns.map(({ role }): Kind => {
    if (role === 'variant') return 'count'
    return role === 'block' || role === 'outcome' || role === 'problem' ? 'words' : 'number'
  })
  const varied = columns.flatMap(({ role }, place) => (role === 'varied' ? [place] : []))
  if (varied.length > 0)
    for await (const row of rowsOf(path))
      for (const place of varied) if (typeof row[columns[place]!.header] === 'string') kinds[place] = 'words'
  return kinds
}

async function* rowsOf(path: string): AsyncGenerator<Readonly<Record<string, VariantCell>>> {
  for await (const line of createInterface({ input: createReadStream(path) }))
    yield JSON.parse(line) as Readonly<Record<string, VariantCell>>
}

async function writeRows(
  file: number,
  path: string,
  columns: readonly VariantColumn[],
  kinds: readonly Kind[],
): Promise<void> {
  const writer = new ByteWriter()
  const flush = (): void => {
    // Where the file stands by now, and all of it: a disk that fills up may take only a part at once.
    writeFileSync(file, new Uint8Array(writer.buffer, 0, writer.index))
    writer.index = 0
  }
  const schema = [
    { name: 'variants', num_children: columns.length },
    ...columns.map(({ header }, place) => ({ name: header, ...ELEMENTS[kinds[place]!] })),
  ]
  const parquet = new ParquetWriter({ writer, schema, createdBy: 'loftsheet' })
  let cells: Cell[][] = columns.map(() => [])
  const put = async (): Promise<void> => {
    if (cells[0]!.length === 0) return
    await parquet.write({
      columnData: columns.map(({ header }, place) => ({ name: header, data: cells[place]! })),
      rowGroupSize: GROUP,
    })
    flush()
    cells = columns.map(() => [])
  }
  for await (const row of rowsOf(path)) {
    for (const [place, { header }] of columns.entries()) cells[place]!.push(cellOf(row[header] ?? null, kinds[place]!))
    if (cells[0]!.length === GROUP) await put()
  }
  await put()
  await parquet.finish()
  flush()
}

type Cell = number | bigint | string | null

const INFINITE: Readonly<Record<string, number>> = {
  infinity: Number.POSITIVE_INFINITY,
  '-infinity': Number.NEGATIVE_INFINITY,
}

function cellOf(cell: VariantCell, kind: Kind): Cell {
  if (kind === 'count') return BigInt(cell as number)
  if (kind === 'words' || cell === null) return cell === null || cell === '' ? null : String(cell)
  return typeof cell === 'number' ? cell : (INFINITE[cell] ?? null)
}
