import { parse as parseCsv } from 'csv-parse/browser/esm/sync'
import { error, OUTSIDE, type Problem } from '../../grammar/source.ts'
import { same } from '../../grammar/units/dimension.ts'
import type { Compiled } from '../open/compiled.ts'
import { CSV, cellsOf, csvFault } from '../open/csv.ts'
import type { Reading } from '../open/open.ts'
import type { Session } from '../open/session.ts'
import type { Load } from '../open/table.ts'
import type { FileRow, VariantsRequest } from './answer.ts'
import type { VariantBlock, Varied } from './block.ts'
import { type Choices, choicesOf } from './choices.ts'
import { type FileColumn, fileColumns } from './file-columns.ts'

/** An open sheet as its variants are asked of it; `compiled` null where the sheet has errors. */
export interface VariedSheet {
  readonly reading: Reading
  readonly compiled: Compiled | null
  readonly name: string
  readonly load: Load | null
}

/** A block made ready: its columns, and its values where they are written in the sheet. */
export interface Ready {
  readonly block: VariantBlock
  readonly varied: readonly Varied[]
  readonly choices: readonly Choices[] | null
  readonly columns: readonly FileColumn[]
  /** Rows of a file read here, whole. */
  readonly rows: readonly FileRow[] | null
  readonly count: number | null
}

/** The blocks of a sheet made ready; what is wrong with them, or with what is set for all of them, goes to `problems`. */
export function readyBlocks(
  { reading, compiled, load }: VariedSheet,
  session: Session,
  request: VariantsRequest,
  problems: Problem[],
): readonly Ready[] {
  const { opened } = reading
  const blocks = opened.variants
  if (blocks.length === 0)
    problems.push(
      error(
        OUTSIDE,
        'This sheet has no block of variants.',
        'Write a line "variants" and below it, indented, lines such as "each dry mass over 150 kg, 165 kg".',
      ),
    )
  const choices = choicesOf(blocks, compiled!, factsSet(session, request), problems)
  const ready = blocks.map((block, place): Ready => {
    if (block.file === null) {
      const values = choices[place]!
      const count = values.reduce((product, each) => product * each.length, 1)
      return { block, varied: block.lines.map(line => line.varied), choices: values, columns: [], rows: null, count }
    }
    const given = request.heads?.[place]
    const rows = given ? null : fileRows(block, load, problems)
    const heads = given ?? (rows?.[0] as readonly string[] | undefined)
    if (!heads) return { block, varied: [], choices: null, columns: [], rows: [], count: 0 }
    const columns = fileColumns(heads, block.file, block.span, opened, problems)
    const varied = columns.map(column => column.varied)
    return { block, varied, choices: null, columns, rows: rows?.slice(1) ?? null, count: rows ? rows.length - 1 : null }
  })
  checkShare(request, problems)
  checkSet(ready, request, problems)
  return agreed(ready)
}

/** The facts that were set for all variants, by id [SI]. */
function factsSet({ state, compiled }: Session, { set = {} }: VariantsRequest): ReadonlyMap<number, number> {
  const { ids, model } = compiled.reading.opened
  return new Map(
    Object.keys(set).flatMap(name => {
      const id = ids.get(name.normalize('NFC').trim().replace(/\s+/g, ' '))
      return id !== undefined && model.quantities[id]!.role === 'fact' ? [[id, state.valueOf(id)] as const] : []
    }),
  )
}

function fileRows({ file, span }: VariantBlock, load: Load | null, problems: Problem[]): readonly FileRow[] | null {
  const say = (message: string, mend: string): null => {
    problems.push(error(span, message, mend))
    return null
  }
  if (!load) return say(`The file "${file}" cannot be read here.`, 'Write "each" lines into the sheet.')
  try {
    const read: string[][] = parseCsv(load(file!), CSV)
    const rows = read.map(cellsOf)
    return rows.length === 0
      ? say(`The file "${file}" is empty.`, 'Name what varies in its first row, such as dry mass [kg].')
      : rows
  } catch (fault) {
    return say(`The file "${file}" cannot be read: ${csvFault(fault)}.`, 'Look at its name and at what is in it.')
  }
}

function checkShare({ share = [1, 1] }: VariantsRequest, problems: Problem[]): void {
  const [which, of] = share
  if (Number.isInteger(which) && Number.isInteger(of) && which >= 1 && which <= of) return
  problems.push(
    error(OUTSIDE, `[${which}, ${of}] is no share of the variants.`, 'Give the ith of n as [i, n], i from 1 to n.'),
  )
}

function checkSet(ready: readonly Ready[], { set = {} }: VariantsRequest, problems: Problem[]): void {
  for (const written of Object.keys(set)) {
    const name = written.normalize('NFC').trim().replace(/\s+/g, ' ')
    if (ready.some(({ varied }) => varied.some(each => each.name === name)))
      problems.push(
        error(OUTSIDE, `"${name}" is set for all variants, but varies among them.`, 'Leave one of the two out.'),
      )
  }
}

/** One unit a quantity, whatever the block: that of the block where it is met first. */
function agreed(ready: readonly Ready[]): readonly Ready[] {
  const units = new Map<string, Varied>()
  const unify = (varied: Varied): Varied => {
    const first = units.get(varied.name)
    if (!first) units.set(varied.name, varied)
    return first?.dimension && varied.dimension && same(first.dimension, varied.dimension) ? first : varied
  }
  return ready.map(each => {
    const varied = each.varied.map(unify)
    if (varied.every((one, place) => one === each.varied[place])) return each
    return {
      ...each,
      varied,
      columns: each.columns.map((column, place) => ({ ...column, varied: varied[place]! })),
    }
  })
}
