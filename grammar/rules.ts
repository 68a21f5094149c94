import type { LineNode } from './line.ts'
import { error, type Problem } from './source.ts'
import { type Token, touches } from './tokens.ts'
import type { Expression, Name } from './tree.ts'
import { isReadingText } from './unit-text.ts'
import { isReserved } from './words.ts'

// What the grammar lets through and a line still must not say.

/** Numbers too large or too small for the machine, and `1,000` where a comma is right. */
export function numberProblems(tokens: readonly Token[]): Problem[] {
  const found: Problem[] = []
  tokens.forEach((token, index) => {
    const problem = token.type === 'Comma' ? thousands(tokens, index) : token.type === 'Value' ? size(token) : null
    if (problem) found.push(problem)
  })
  return found
}

function size({ value, text, span }: Token): Problem | null {
  if (!Number.isFinite(value))
    return error(
      span,
      'This number is too large to reckon with.',
      'Write a smaller number, in a larger unit if need be.',
    )
  return value === 0 && /^[^eE]*[1-9]/.test(text)
    ? error(span, 'This number is too small to tell from zero.', 'Take a smaller unit, or write 0.')
    : null
}

/** A comma in a list that is surely meant to group digits: three follow close behind it, the first a zero. */
function thousands(tokens: readonly Token[], index: number): Problem | null {
  const [before, comma, after] = [tokens[index - 1], tokens[index]!, tokens[index + 1]]
  if (before?.type !== 'Value' || after?.type !== 'Value' || !touches(before, comma) || !touches(comma, after))
    return null
  if (!/^0\d\d$/.test(after.text)) return null
  return error(comma.span, 'A number is written without commas.', `Write ${before.text}${after.text}.`)
}

/** A declared name that is taken, a unit said once for two numbers, and rows of a table that can be read in two ways. */
export function nodeProblems(node: LineNode, tokens: readonly Token[]): Problem[] {
  if (node.kind === 'row') return [...node.cells.flatMap(looseSign), ...mixedCommas(node.cells.length, tokens)]
  const units = missingUnits(node)
  const name = declaredName(node)
  if (name === null || !isReserved(name.text)) return units
  const { text, span } = name
  const owner = text === 'pi' ? 'the number pi' : 'a built-in function'
  const mend = `Write a name of two words, such as "${text} value".`
  return [error(span, `The name "${text}" belongs to ${owner}.`, mend), ...units]
}

/** `from 1 to 100 %`: the ends of a range, and its step, of which some have a unit and some have none. A zero needs none. */
function missingUnits(node: LineNode): Problem[] {
  const range = rangeOf(node)
  if (range.length === 0) return []
  const ends = range.map(literal).filter(each => each !== null)
  const step = range[2] ? literal(range[2]) : null
  const unit = ends.find(each => each.unit)?.unit
  if (!unit) return []
  return ends
    .filter(each => each.unit === null && each.value !== 0)
    .map(each => {
      const message = `This ${each.text} has no unit, though the range is told in ${unit.text}.`
      const difference = each === step && isReadingText(unit.text)
      const mend = difference ? `Write ${each.text} K.` : `Repeat the unit: ${each.text} ${unit.text}.`
      return error(each.span, message, mend)
    })
}

function rangeOf(node: LineNode): Expression[] {
  if (node.kind === 'lever' || node.kind === 'steps') return [node.from, node.to, ...(node.step ? [node.step] : [])]
  return node.kind === 'target' && node.limit.kind === 'within' ? [node.limit.from, node.limit.to] : []
}

/** The number that an expression is, its sign apart. */
function literal(expression: Expression): Extract<Expression, { kind: 'number' }> | null {
  if (expression.kind === 'sign') return literal(expression.arg)
  return expression.kind === 'number' ? expression : null
}

/** The name that a line declares. That of variants, like that of a slot, is only a label. */
function declaredName(node: LineNode): Name | null {
  switch (node.kind) {
    case 'fact':
    case 'lever':
    case 'figure':
    case 'table':
    case 'body':
    case 'flight':
    case 'stage':
    case 'parachute':
      return node.name
    default:
      return null
  }
}

type Cell = Extract<LineNode, { kind: 'row' }>['cells'][number]

function looseSign(cell: Cell): Problem[] {
  if (cell.kind !== 'sign' || cell.arg.span.column === cell.span.column + 1) return []
  const message = 'A row of a table is plain numbers side by side; nothing is added or taken away in it.'
  const kind = cell.operator === '-' ? 'negative' : 'positive'
  return [error(cell.span, message, `If the number is ${kind}, write its sign close to it.`)]
}

/** `0,3 0,5`: commas between some of the numbers only may be meant as decimal points. */
function mixedCommas(cells: number, tokens: readonly Token[]): Problem[] {
  const commas = tokens.filter(token => token.type === 'Comma')
  if (commas.length === 0 || commas.length === cells - 1) return []
  const message = 'In this row some numbers have commas between them and some blanks.'
  return [error(commas[0]!.span, message, 'Part the numbers by blanks alone; a fraction is written with a point.')]
}
