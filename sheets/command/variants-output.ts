import { closeSync, createReadStream, existsSync, openSync, readSync, rmSync, statSync, truncateSync } from 'node:fs'
import { type FileHandle, open } from 'node:fs/promises'
import { createInterface } from 'node:readline'
import { parse } from 'csv-parse'
import type { VariantCell, VariantColumn } from '../variants/answer.ts'
import { emptyTally, Tally, type TallyState } from '../variants/tally.ts'
import { cellFrom, headText, type RowFormat } from '../variants/written.ts'
import { reason } from './files.ts'
import { Refusal } from './shell.ts'
import { holderOf } from './variants-holder.ts'
import { claim, recordOf, recordPath, refuseHeld } from './variants-record.ts'
import { unwritten, writeWhole } from './writing.ts'

/** Where rows go. A write is done when the rows are out of our hands, so that nobody runs ahead of a slow reader. */
export interface Outgoing {
  readonly write: (text: string, done: number) => Promise<void>
  /** All is written; or, where the run was broken off, what was so far is kept for `--resume`. */
  readonly end: (whole: boolean) => Promise<void>
}

/** What an earlier run left: how many variants it did, and what it counted. */
export interface Earlier {
  readonly done: number
  readonly tally: TallyState
  /** Bytes of the file that stand. */
  readonly bytes: number
  readonly whole: boolean
}

export interface FilePlan {
  readonly path: string
  /** As the command was told. */
  readonly named: string
  readonly columns: readonly VariantColumn[]
  readonly format: RowFormat
  /** A digest of all that the rows hang on. */
  readonly begun: string
  /** Whether rows may be left out, so that how far the run is cannot be seen from the rows. */
  readonly sparse: boolean
}

/** What stands in the file of an earlier run that is to be gone on with; null where there is none. */
export async function earlier(plan: FilePlan, wishes: Tally['wishes']): Promise<Earlier | null> {
  try {
    return await earlierIn(plan, wishes)
  } catch (error) {
    if (error instanceof Refusal) throw error
    // A row that cannot be read is none that a run has written.
    const system = error instanceof Error && 'syscall' in error
    throw new Refusal(
      `${plan.named} cannot be gone on with: ${system ? reason(error) : 'its rows are not as they were written'}.`,
    )
  }
}

async function earlierIn(plan: FilePlan, wishes: Tally['wishes']): Promise<Earlier | null> {
  const { path, named, columns, format } = plan
  const head = format === 'csv' ? headText(columns, format) : '{"variant":'
  const record = recordOf(plan)
  if (!existsSync(path)) {
    refuseHeld(named, record)
    // Whoever took the file away wants it anew.
    rmSync(recordPath(path), { force: true })
    return null
  }
  if (record === null) {
    if (statSync(path).size === 0) return null
    if (!beginsWith(path, head))
      throw new Refusal(`${named} is there already and holds something else; give another --out.`)
    return { done: 0, tally: emptyTally(), bytes: statSync(path).size, whole: true }
  }
  if (record.begun !== plan.begun)
    throw new Refusal(
      `${named} was begun from another sheet, other files or other words of the command. Remove ${named} and ${named}.run to begin anew.`,
    )
  refuseHeld(named, record)
  if (record.fresh) return { done: 0, tally: emptyTally(), bytes: 0, whole: false }
  if (plan.sparse) {
    const { done = 0, bytes = 0, tally = emptyTally() } = record
    if (statSync(path).size < bytes) throw new Refusal(`${named} is shorter than it was. Remove it to begin anew.`)
    return { done, bytes, tally, whole: false }
  }
  return counted(plan, wishes)
}

/** Counts the whole rows of a file; a row that was torn off at the end does not count. */
async function counted({ path, columns, format }: FilePlan, wishes: Tally['wishes']): Promise<Earlier> {
  const tally = new Tally(columns, wishes)
  const whole = wholeLines(path)
  if (whole > 0) for await (const row of rowsFrom(path, whole, columns, format)) tally.take(row)
  return { done: tally.total, tally: tally.state, bytes: whole, whole: false }
}

async function* rowsFrom(
  path: string,
  bytes: number,
  columns: readonly VariantColumn[],
  format: RowFormat,
): AsyncGenerator<readonly VariantCell[]> {
  const input = createReadStream(path, { end: bytes - 1 })
  if (format === 'csv') {
    for await (const row of input.pipe(parse({ from: 2 }))) yield (row as string[]).map(cellFrom)
    return
  }
  for await (const line of createInterface({ input })) {
    const row = JSON.parse(line) as Record<string, VariantCell>
    yield columns.map(({ header }) => row[header] ?? null)
  }
}

/** The bytes of a file up to and with its last line break. */
function wholeLines(path: string): number {
  const bytes = statSync(path).size
  const file = openSync(path, 'r')
  try {
    const part = Buffer.alloc(64 * 1024)
    for (let end = bytes; end > 0; ) {
      const from = Math.max(0, end - part.length)
      const count = readSync(file, part, 0, end - from, from)
      const at = part.subarray(0, count).lastIndexOf(10)
      if (at >= 0) return from + at + 1
      end = from
    }
    return 0
  } finally {
    closeSync(file)
  }
}

function beginsWith(path: string, head: string): boolean {
  const wanted = Buffer.from(head)
  const found = Buffer.alloc(wanted.length)
  const file = openSync(path, 'r')
  try {
    return readSync(file, found, 0, found.length, 0) === wanted.length && found.equals(wanted)
  } finally {
    closeSync(file)
  }
}

/** Opens the file: anew, or to go on where an earlier run was broken off. */
export async function fileOutput(plan: FilePlan, begun: Earlier | null, tally: Tally): Promise<Outgoing> {
  const { path, named } = plan
  const head = headText(plan.columns, plan.format)
  let bytes = begun?.bytes ?? 0
  const by = holderOf()
  const record = (done: number): void =>
    writeWhole(
      recordPath(path),
      `${named}.run`,
      JSON.stringify({ begun: plan.begun, by, ...(plan.sparse ? { done, bytes, tally: tally.state } : {}) }),
    )
  let last = begun?.done ?? 0
  let saved = performance.now()
  try {
    if (begun) {
      // Another may have gone on with it while its rows were counted here.
      refuseHeld(named, recordOf(plan))
      truncateSync(path, begun.bytes)
    } else claim(plan, by)
    const file = await opened(path, begun)
    record(last)
    const put = async (text: string): Promise<void> => {
      await file.appendFile(text)
      bytes += Buffer.byteLength(text)
    }
    if (bytes === 0) await put(head)
    return {
      write: async (text, done) => {
        try {
          if (text !== '') await put(text)
        } catch (error) {
          throw unwritten(named, error)
        }
        last = done
        if (!plan.sparse || performance.now() - saved < 1000) return
        record(done)
        saved = performance.now()
      },
      end: async whole => {
        await file.close()
        if (whole) rmSync(recordPath(path), { force: true })
        else if (plan.sparse) record(last)
      },
    }
  } catch (error) {
    throw error instanceof Refusal ? error : unwritten(named, error)
  }
}

/** Opens the file; where it cannot be begun there is nothing to go on with. */
async function opened(path: string, begun: Earlier | null): Promise<FileHandle> {
  try {
    return await open(path, begun ? 'a' : 'w')
  } catch (error) {
    if (!begun) rmSync(recordPath(path), { force: true })
    throw error
  }
}
