import { error, type Problem, type Span } from '../../grammar/source.ts'
import type { Expression, Statement } from '../../grammar/tree.ts'
import { type Dimension, describe, NONE, same } from '../../grammar/units/dimension.ts'
import { decimalToSI, mendOf, parseUnit } from '../../grammar/units/unit.ts'
import { pchip } from '../../solver/index.ts'
import type { TableEntry } from './checked.ts'
import { tableFile } from './table-file.ts'

/** Reads a file that a sheet names; throws with a plain sentence where it cannot. */
export type Load = (path: string) => string

type TableStatement = Extract<Statement, { kind: 'table' }>

/** A cell in SI with its dimension and where it stands. */
interface Cell {
  readonly si: number
  readonly dimension: Dimension
  readonly unit: string
  readonly span: Span
}

/** A table of air: altitude, temperature, pressure, density. */
const MOST_COLUMNS = 4
const ORDINALS = ['first', 'second', 'third', 'fourth']

/** A table ready to look up, or null where it holds a mistake. */
export function elaborateTable(statement: TableStatement, load: Load | null, problems: Problem[]): TableEntry | null {
  const before = problems.length
  const rows = statement.file ? rowsOfFile(statement, load, problems) : rowsOfText(statement, problems)
  if (!rows || problems.length > before) return null
  if (rows.length < 2) {
    problems.push(
      error(
        statement.name.span,
        `The table "${statement.name.text}" needs two rows or more to read between.`,
        'Add a row.',
      ),
    )
    return null
  }
  const all = rows[0]!.map((_, column) => rows.map(row => row[column]!))
  if (!all.every((cells, column) => checkColumn(cells, ORDINALS[column]!, problems)) || !checkRising(all[0]!, problems))
    return null
  const [x, y] = all
  return {
    name: statement.name.text,
    span: statement.name.span,
    curve: pchip(
      Float64Array.from(x!, cell => cell.si),
      Float64Array.from(y!, cell => cell.si),
    ),
    argument: x![0]!.dimension,
    value: y![0]!.dimension,
    argumentUnit: x![0]!.unit,
    columns: all.map(cells => ({
      dimension: cells[0]!.dimension,
      values: Float64Array.from(cells, cell => cell.si),
    })),
  }
}

function rowsOfText(statement: TableStatement, problems: Problem[]): Cell[][] | null {
  return statement.rows.map(row => {
    if (row.cells.length < 2)
      problems.push(
        error(
          row.span,
          `A row holds two numbers, ${statement.argument.text} and the value; this one holds ${row.cells.length}.`,
          'Put both on the row, with blanks between them.',
        ),
      )
    if (row.cells.length > MOST_COLUMNS)
      problems.push(
        error(
          row.span,
          `A row holds four numbers at most: altitude, temperature, pressure and density of air; this one holds ${row.cells.length}.`,
          'Take the others out.',
        ),
      )
    return row.cells.flatMap(cell => cellOf(cell, problems) ?? [])
  })
}

function cellOf(expression: Expression, problems: Problem[]): Cell | null {
  if (expression.kind === 'sign') {
    const cell = cellOf(expression.arg, problems)
    return cell && expression.operator === '-' ? { ...cell, si: -cell.si, span: expression.span } : cell
  }
  if (expression.kind !== 'number') return null
  return numberCell(expression.text, expression.unit?.text ?? '', expression.span, problems)
}

function numberCell(text: string, unit: string, span: Span, problems: Problem[]): Cell | null {
  if (unit === '') return finite({ si: Number(text), dimension: NONE, unit, span }, text, problems)
  const parsed = parseUnit(unit)
  if ('fault' in parsed) {
    problems.push(error(span, parsed.fault.message, mendOf(parsed.fault)))
    return null
  }
  return finite({ si: decimalToSI(text, parsed.unit), dimension: parsed.unit.dimension, unit, span }, text, problems)
}

function finite(cell: Cell, text: string, problems: Problem[]): Cell | null {
  if (Number.isFinite(cell.si)) return cell
  problems.push(error(cell.span, `"${text}" is not a number a table can hold.`, 'Give a finite number.'))
  return null
}

function checkColumn(cells: readonly Cell[], which: string, problems: Problem[]): boolean {
  const first = cells[0]!
  const odd = cells.find(cell => !same(cell.dimension, first.dimension))
  if (!odd) return true
  problems.push(
    error(
      odd.span,
      `The ${which} column begins with ${describe(first.dimension)}, but this is ${describe(odd.dimension)}.`,
      first.unit
        ? `Write the unit after every number of the column, such as ${first.unit}.`
        : 'Write the unit after every number of the column, or after none.',
      [{ ...first.span, message: `the column begins here with ${describe(first.dimension)}` }],
    ),
  )
  return false
}

function checkRising(cells: readonly Cell[], problems: Problem[]): boolean {
  const index = cells.findIndex((cell, i) => i > 0 && !(cell.si > cells[i - 1]!.si))
  if (index < 0) return true
  problems.push(
    error(
      cells[index]!.span,
      'The first column of a table rises from row to row; this number does not.',
      'Sort the rows, and keep one of two equal ones.',
    ),
  )
  return false
}

function textOf(named: string, load: Load, say: (message: string, mend: string) => null): string | null {
  try {
    return load(named)
  } catch (fault) {
    const why = fault instanceof Error ? fault.message : String(fault)
    return say(`The file "${named}" could not be read: ${why}`, 'Look at its name and at what is in it.')
  }
}

function rowsOfFile(statement: TableStatement, load: Load | null, problems: Problem[]): Cell[][] | null {
  const file = statement.file!
  const before = problems.length
  const say = (message: string, mend: string): null => {
    problems.push(error(file.span, message, mend))
    return null
  }
  if (!load) return say(`The file "${file.text}" cannot be read here.`, 'Write the rows into the sheet.')
  const text = textOf(file.text, load, say)
  const read = text === null ? null : tableFile(file.text, text, MOST_COLUMNS, say)
  if (read === null) return null
  const units = read.head.map(heading => /\[([^\]]*)\]\s*$/.exec(heading)?.[1]?.trim() ?? '')
  for (const unit of units) {
    const parsed = parseUnit(unit)
    if ('fault' in parsed)
      return say(`A column of "${file.text}" has no known unit. ${parsed.fault.message}`, mendOf(parsed.fault))
  }
  if (problems.length > before) return null
  return read.rows.map(cells =>
    cells.flatMap((text, column) => numberCell(text, units[column]!, file.span, problems) ?? []),
  )
}
