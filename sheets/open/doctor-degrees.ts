import { type Problem, warning } from '../../grammar/source.ts'
import type { Condition, Expression, Statement } from '../../grammar/tree.ts'
import { baseUnit, formatQuantity } from '../../grammar/units/choose.ts'
import { decimalToSI, isReading } from '../../grammar/units/unit.ts'
import { dimensionOf } from './kinds.ts'
import type { Reading } from './open.ts'
import {
  isLiteralReading,
  type LiteralReading,
  type TemperatureSort,
  temperatureSorts,
  unitWritten,
} from './temperature-sort.ts'

const KELVIN = baseUnit(dimensionOf('K'))

/**
 * Readings such as 5 degC where a difference of temperatures is wanted: each is taken as what it says, 278.15 K, and nothing else in the
 * sheet shows it. Only where both sides of the difference are readings by their own words.
 */
export function degreeProblems(reading: Reading): readonly Problem[] {
  const problems: Problem[] = []
  const look: Look = {
    sort: temperatureSorts(reading),
    say: (tree, words) => problems.push(warning(tree.span, `${words(readingText(tree))}.`, `Write ${distance(tree)}.`)),
    problems,
  }
  for (const statement of reading.statements) lookAt(statement, reading, look)
  return problems
}

interface Look {
  readonly sort: (tree: Expression) => TemperatureSort
  /** Warns of a literal reading; `words` are given what it is. */
  readonly say: (tree: LiteralReading, words: (told: string) => string) => void
  readonly problems: Problem[]
}

function lookAt(statement: Statement, reading: Reading, look: Look): void {
  switch (statement.kind) {
    case 'fact':
      lookInto(statement.value, look, true)
      if (statement.error) tolerance(statement.value, statement.error, look)
      return
    case 'figure':
      lookInto(statement.value, look, true)
      return
    case 'lever':
      for (const end of [statement.from, statement.to]) lookInto(end, look, true)
      return
    case 'target': {
      const { limit, value } = statement
      const ends = limit.kind === 'within' ? [limit.from, limit.to] : [limit.value]
      for (const tree of [value, ...ends]) lookInto(tree, look, true)
      for (const end of ends)
        against(value, end, look, told => `${told}, and what it limits is a difference of temperatures`)
      if (limit.kind === 'equal to' && limit.tolerance) tolerance(limit.value, limit.tolerance, look)
      return
    }
    case 'show': {
      const declared = statement.name.of === null ? reading.scope.names.get(statement.name.name.text) : undefined
      const unit = unitWritten(statement.unit.text)
      if (!unit || !isReading(unit) || declared?.kind !== 'figure' || look.sort(declared.value) !== 'difference') return
      look.problems.push(
        warning(
          statement.unit.span,
          `"${declared.name.text}" is a difference of temperatures, and ${unit.text} would show it as a temperature.`,
          'Write K.',
        ),
      )
      return
    }
    default:
  }
}

/** Looks through an expression; `plain` where it is no part of a product, so that a sum of two readings is no mean of them. */
function lookInto(tree: Expression, look: Look, plain: boolean): void {
  switch (tree.kind) {
    case 'number':
    case 'reference':
      return
    case 'call':
      for (const arg of tree.args) lookInto(arg, look, true)
      return
    case 'sign':
      lookInto(tree.arg, look, plain)
      return
    case 'if':
      lookIntoTest(tree.test, look)
      lookInto(tree.yes, look, plain)
      lookInto(tree.no, look, plain)
      return
    case 'binary': {
      const { operator, left, right } = tree
      const sum = operator === '+' || operator === '-'
      lookInto(left, look, plain && sum)
      lookInto(right, look, plain && sum)
      if (operator === '+' && plain) {
        const added = isLiteralReading(right) ? right : isLiteralReading(left) ? left : null
        const other = added === right ? left : right
        if (added && look.sort(other) !== null) look.say(added, told => `${told}, and so much is added`)
      }
      if (operator === '-')
        against(left, right, look, told => `${told}, and it is taken from a difference of temperatures`)
    }
  }
}

function lookIntoTest(test: Condition, look: Look): void {
  if (test.kind === 'not') lookIntoTest(test.arg, look)
  else if (test.kind === 'compare') {
    const words = (told: string): string => `${told}, and it is compared with a difference of temperatures`
    against(test.left, test.right, look, words)
    against(test.right, test.left, look, words)
  } else {
    lookIntoTest(test.left, look)
    lookIntoTest(test.right, look)
  }
}

/** A literal reading beside a difference. */
function against(side: Expression, other: Expression, look: Look, words: (told: string) => string): void {
  if (isLiteralReading(other) && look.sort(side) === 'difference') look.say(other, words)
}

/** A share of a reading counts from 0 K, which nobody thinks of who writes degrees. */
function tolerance(value: Expression, tree: Expression, look: Look): void {
  if (tree.kind !== 'number' || tree.unit?.text !== '%' || look.sort(value) !== 'reading') return
  const share = (si: number): string => formatQuantity((Number(tree.text) / 100) * Math.abs(si), KELVIN, 3)
  const here = isLiteralReading(value) ? `: of ${value.text} ${value.unit.text} this is ${share(kelvins(value))}` : ''
  look.problems.push(
    warning(tree.span, `A share of a temperature counts from 0 K${here}.`, 'Write the tolerance in K.'),
  )
}

function kelvins({ text, unit }: LiteralReading): number {
  return decimalToSI(text, unitWritten(unit.text)!)
}

/** "5 degC is the temperature 278.15 K". */
function readingText(tree: LiteralReading): string {
  return `${tree.text} ${tree.unit.text} is the temperature ${formatQuantity(kelvins(tree), KELVIN, 5)}`
}

/** As many degrees as a difference: 5 degC are 5 K, and 9 degF as well. */
function distance(tree: LiteralReading): string {
  const zero = decimalToSI('0', unitWritten(tree.unit.text)!)
  return `${Number((kelvins(tree) - zero).toPrecision(9))} K`
}
