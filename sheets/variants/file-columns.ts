import { error, type Problem, type Span } from '../../grammar/source.ts'
import { baseUnit } from '../../grammar/units/choose.ts'
import { describe, NONE, same } from '../../grammar/units/dimension.ts'
import { decimalToSI, mendOf, parseUnit, type Unit } from '../../grammar/units/unit.ts'
import { unitMend } from '../open/disagree.ts'
import type { FileRow } from './answer.ts'
import type { Varied } from './block.ts'
import { type Choice, oneLine, shownIn } from './choices.ts'
import { type Known, movedBy } from './moved.ts'

/** A column of a file. `head`: the unit at its head, null where cells carry their own. */
export interface FileColumn {
  readonly varied: Varied
  readonly head: Unit | null
}

/** Reads the first row of a variants file: `name [unit]` each. */
export function fileColumns(
  heads: readonly string[],
  file: string,
  span: Span,
  known: Known,
  problems: Problem[],
): readonly FileColumn[] {
  const columns: FileColumn[] = []
  for (const head of heads) {
    const column = fileColumn(head, known)
    if ('fault' in column) {
      problems.push(error(span, `A column of "${file}" cannot be used. ${column.fault}`, column.mend))
      continue
    }
    if (columns.some(other => other.varied.name === column.varied.name))
      problems.push(error(span, `"${file}" has two columns for "${column.varied.name}".`, 'Keep one of the two.'))
    else columns.push(column)
  }
  if (heads.length === 0)
    problems.push(
      error(
        span,
        `"${file}" has no first row that names its columns.`,
        'Name what varies there, such as dry mass [kg].',
      ),
    )
  return columns
}

function fileColumn(head: string, known: Known): FileColumn | { fault: string; mend: string } {
  const [, name, unitText] = /^(.*?)\s*(?:\[([^\]]*)\]\s*)?$/.exec(head.trim()) ?? []
  if (!name) return { fault: 'It has no name.', mend: 'Name it in the first row, or take the column out.' }
  const between = head.includes(';') ? 'semicolons' : head.includes('\t') ? 'tabs' : null
  const varied = movedBy(name, known)
  if ('fault' in varied && between)
    return { fault: `Its cells seem to be parted by ${between}.`, mend: 'Save the file with commas between its cells.' }
  if ('fault' in varied) return varied
  if (unitText === undefined || unitText.trim() === '') return { varied, head: null }
  if (varied.dimension === null)
    return { fault: `"${varied.name}" holds names and has no unit.`, mend: 'Take the unit out of its heading.' }
  const parsed = parseUnit(unitText.trim())
  if ('fault' in parsed) return { fault: `"${head}": ${parsed.fault.message}`, mend: mendOf(parsed.fault) }
  if (!same(parsed.unit.dimension, varied.dimension))
    return {
      fault: `"${varied.name}" is ${describe(varied.dimension)}; ${parsed.unit.text} is a unit for ${describe(parsed.unit.dimension)}.`,
      mend: unitMend(varied.dimension),
    }
  return { varied: { ...varied, unit: parsed.unit }, head: parsed.unit }
}

/** What a cell says, or what is wrong with it. `evaluate` works out words such as "165 kg" in the terms of the sheet. */
export type Evaluate = (varied: Varied, text: string) => number | string

/** The choices of one row, column by column; a text where the row is wrong, with the cells as far as they can be shown. */
export function rowChoices(
  row: FileRow,
  columns: readonly FileColumn[],
  evaluate: Evaluate,
): { readonly choices: readonly Choice[] } | { readonly problem: string; readonly shown: readonly (string | null)[] } {
  if (!Array.isArray(row)) return { problem: (row as { problem: string }).problem, shown: columns.map(() => null) }
  const cells = row as readonly string[]
  const shown = columns.map((_, place) => oneLine(cells[place] ?? '') || null)
  if (cells.length !== columns.length)
    return { problem: `This row has ${counted(cells.length)} where the first row has ${columns.length}.`, shown }
  const choices: Choice[] = []
  for (const [place, column] of columns.entries()) {
    const choice = cellChoice(cells[place]!, column, evaluate)
    if (typeof choice === 'string') return { problem: choice, shown }
    choices.push(choice)
  }
  return { choices }
}

function counted(cells: number): string {
  return cells === 1 ? '1 cell' : `${cells} cells`
}

const DECIMAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,4})?$/

function cellChoice(cell: string, { varied, head }: FileColumn, evaluate: Evaluate): Choice | string {
  const text = oneLine(cell)
  const { name, moved, dimension } = varied
  if (moved.kind === 'label') return { shown: text, value: text }
  if (text === '') return `The cell of "${name}" is empty.`
  if (moved.kind === 'body') return { shown: text, value: text }
  const wanted = moved.kind === 'limit' ? moved.ends : 1
  const parts = wanted === 2 ? text.split(/\s+to\s+/) : [text]
  if (parts.length !== wanted) return `"${name}" needs two ends, such as "100 to 110"; "${text}" is not that.`
  const values: number[] = []
  for (const part of parts) {
    const bare = head ?? (same(dimension!, NONE) ? ONE : null)
    if (!bare && DECIMAL.test(part)) return unitMissing(part, varied)
    const value = bare && DECIMAL.test(part) ? decimalToSI(part, bare) : evaluate(varied, part)
    if (typeof value === 'string') return value
    if (!Number.isFinite(value)) return `"${name}" cannot be ${text}: that is no finite number.`
    values.push(value)
  }
  if (wanted === 2) return { shown: text, value: values }
  const unit = varied.unit
  return { shown: head && DECIMAL.test(text) ? Number(text) : unit ? shownIn(values[0]!, unit) : text, value: values }
}

function unitMissing(part: string, { name, dimension, unit }: Varied): string {
  const symbol = (unit ?? baseUnit(dimension!)).text
  return `"${name}" is ${describe(dimension!)}; ${part} has no unit. Write ${part} ${symbol}, or ${name} [${symbol}] in the first row.`
}

const ONE: Unit = { text: '', dimension: NONE, multiply: 1n, divide: 1n, offset: 0n }
