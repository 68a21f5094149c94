import { createReadStream, existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { createInterface } from 'node:readline'
import { parse } from 'csv-parse/sync'
import { counted } from '../report/variants-report.ts'
import type { RowFormat } from '../variants/written.ts'
import { lineSink } from './line-sink.ts'
import { say } from './messages.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { wholeKind } from './variants-kinds.ts'
import { refuseBegun, refuseUnfinished } from './variants-record.ts'
import { formatOf, type VariantsOptions } from './variants-words.ts'

/** Words that are for solving. */
const SOLVING = ['set', 'share', 'only', 'rank', 'picture', 'across', 'up', 'resume', 'json'] as const

/** A part being read: its next row and that row's number. */
interface Part {
  readonly named: string
  readonly lines: AsyncIterator<string>
  line: string | null
  variant: number
  rows: number
  /** The way from each row's number to the next, null where it differs from row to row. */
  stride: number | null
}

/** Puts the parts that shares have written together to what one run would have written, row by row. */
export async function joinParts(named: readonly string[], options: VariantsOptions, shell: Shell): Promise<Status> {
  for (const word of SOLVING)
    if (options[word] !== undefined)
      throw new Refusal(`--join puts parts together and solves nothing: it cannot do with --${word}.`)
  const { out } = options
  const like = out ?? named[0]!
  const format = rowsKind(like)
  for (const each of named)
    if (rowsKind(each) !== format)
      throw new Refusal(`${each} and ${like} are not of one kind; join .csv with .csv, .ndjson with .ndjson.`)
  const paths = named.map(each => pathOf(each, shell))
  const refuseOut = (): void => {
    if (out !== undefined) refuseBegun(resolve(shell.folder, out), out)
  }
  refuseOut()
  const sink = lineSink(out, shell)
  const joined = await joinInto(named, paths, format, sink.write)
    .then(async many => {
      // A run may have begun on it while rows were put together.
      refuseOut()
      await sink.end(true)
      return many
    })
    .catch(async error => {
      await sink.end(false)
      throw error
    })
  if (out !== undefined)
    say(
      shell,
      `${out} holds ${counted(joined)} variants of ${named.length === 1 ? '1 part' : `${named.length} parts`}.`,
    )
  return STATUS.done
}

/** The kind of a part, or of what parts are put together to. */
function rowsKind(named: string): RowFormat {
  const kind = wholeKind(named)
  if (kind !== null) throw new Refusal(`${named} is a ${kind}; parts and what they make are .csv or .ndjson.`)
  return formatOf(named)
}

/** Where a part lies; refused where it is not there or not whole. */
function pathOf(named: string, shell: Shell): string {
  const path = resolve(shell.folder, named)
  refuseUnfinished(path, named)
  if (!existsSync(path)) throw new Refusal(`${named} cannot be read: there is no such file.`)
  return path
}

async function joinInto(
  named: readonly string[],
  paths: readonly string[],
  format: RowFormat,
  write: (text: string) => Promise<void>,
): Promise<number> {
  // A reader begins at once: lines that come before somebody listens for them would be lost.
  const parts = paths.map(
    (path, place): Part => ({
      named: named[place]!,
      lines: createInterface({ input: createReadStream(path) })[Symbol.asyncIterator](),
      line: null,
      variant: 0,
      rows: 0,
      stride: null,
    }),
  )
  const head = format === 'csv' ? await headOf(parts) : null
  const read = rowReader(format, head)
  for (const part of parts) await advance(part, read)
  if (head !== null) await write(`${head}\n`)
  const outcomes = new Set<string>()
  let [last, joined] = [0, 0]
  let gap = 0
  for (let part = first(parts); part !== null; part = first(parts)) {
    if (part.variant === last) throw new Refusal(`Variant ${counted(last)} is in two parts, one of them ${part.named}.`)
    if (part.variant !== last + 1) gap ||= last + 1
    if (outcomes.size < 2) outcomes.add(read.outcome(part.line!))
    // Rows of several outcomes: none was left out by --only, so a gap is a part that is not there.
    if (gap > 0 && outcomes.size > 1)
      throw new Refusal(`Variant ${counted(gap)} is in none of the ${named.length} parts; one is not there.`)
    last = part.variant
    joined++
    await write(`${part.line}\n`)
    await advance(part, read)
  }
  if (gap > 0) refuseMissing(parts)
  return joined
}

/** Parts whose rows stand evenly apart leave none out: then as many parts as the rows are apart make the whole. */
function refuseMissing(parts: readonly Part[]): void {
  const [{ stride: n }] = parts as readonly [Part]
  if (n !== null && n > parts.length && parts.every(part => part.stride === n))
    throw new Refusal(`These are ${parts.length} of ${n} parts; the others are missing.`)
}

async function headOf(parts: readonly Part[]): Promise<string> {
  let head: string | null = null
  for (const part of parts) {
    const { value, done } = await part.lines.next()
    if (done) throw new Refusal(`${part.named} is empty.`)
    head ??= value
    if (value !== head) throw new Refusal(`${part.named} has other columns than ${parts[0]!.named}.`)
  }
  return head!
}

/** What is read of a row: its number, which stands first, and (at more cost) its outcome. */
interface Read {
  readonly variant: (line: string) => number
  readonly outcome: (line: string) => string
}

function rowReader(format: RowFormat, head: string | null): Read {
  const number = format === 'csv' ? /^(\d+)(?:,|$)/ : /^\{"variant":(\d+)[,}]/
  const names = head === null ? [] : (parse(head)[0] as string[])
  const place = names.indexOf('outcome')
  return {
    variant: line => Number(number.exec(line)?.[1]),
    outcome: line =>
      format === 'csv'
        ? ((parse(line)[0] as string[])[place] ?? '')
        : String((JSON.parse(line) as Record<string, unknown>).outcome),
  }
}

/** Goes on to a part's next row. */
async function advance(part: Part, read: Read): Promise<void> {
  const { value, done } = await part.lines.next()
  if (done) {
    part.line = null
    return
  }
  const variant = read.variant(value)
  if (!(variant > part.variant))
    throw new Refusal(`${part.named} is no part of a run of variants: a row has no number, or one out of order.`)
  const way = variant - part.variant
  if (part.rows === 1) part.stride = way
  else if (part.rows > 1 && part.stride !== way) part.stride = null
  part.rows++
  part.variant = variant
  part.line = value
}

/** The part whose next row has the smallest number; null where all are at their ends. */
function first(parts: readonly Part[]): Part | null {
  let found: Part | null = null
  for (const part of parts) if (part.line !== null && (found === null || part.variant < found.variant)) found = part
  return found
}
