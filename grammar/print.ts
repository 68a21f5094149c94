import type { LineNode } from './line.ts'
import type { Condition, Expression, Limit, Reference, Statement } from './tree.ts'
import { isReadingText, plainUnit } from './unit-text.ts'

// How loosely an expression holds together: what is looser than its place wants stands in parentheses.
const IF = 0
const SUM = 1
const PRODUCT = 2
const SIGNED = 3
const POWER = 4
const ATOM = 5

/** An expression as tidy prints it, with no parentheses but those that the meaning needs (and those around a power's base with a unit). */
export function expressionText(expression: Expression): string {
  return inside(expression, IF)
}

/** An expression at a place that wants it to hold together at least so tightly. */
function inside(expression: Expression, least: number): string {
  const text = bare(expression)
  return looseness(expression) < least ? `(${text})` : text
}

function looseness(expression: Expression): number {
  if (expression.kind === 'if') return IF
  if (expression.kind === 'sign') return SIGNED
  if (expression.kind !== 'binary') return ATOM
  if (expression.operator === '^') return POWER
  return expression.operator === '*' || expression.operator === '/' ? PRODUCT : SUM
}

function bare(expression: Expression): string {
  switch (expression.kind) {
    case 'number':
      return expression.unit ? `${expression.text} ${plainUnit(expression.unit.text)}` : expression.text
    case 'reference':
      return referenceText(expression)
    case 'call': {
      const called = `${expression.name.text}(${expression.args.map(expressionText).join(', ')})`
      return expression.of ? `${called} of ${expression.of.text}` : called
    }
    case 'sign':
      return (
        expression.operator + (isReading(expression.arg) ? `(${bare(expression.arg)})` : inside(expression.arg, SIGNED))
      )
    case 'binary':
      return binaryText(expression)
    case 'if':
      return `if ${conditionText(expression.test, 0)} then ${expressionText(expression.yes)} else ${expressionText(expression.no)}`
  }
}

/** Whether it is a reading such as `40 degC`, which would take a sign before it into itself. */
function isReading(expression: Expression): boolean {
  return expression.kind === 'number' && expression.unit !== null && isReadingText(expression.unit.text)
}

function binaryText({ operator, left, right }: Extract<Expression, { kind: 'binary' }>): string {
  if (operator === '^') return `${powerPart(left, ATOM)}^${powerPart(right, SIGNED)}`
  const own = operator === '*' || operator === '/' ? PRODUCT : SUM
  return `${inside(left, own)} ${operator} ${inside(right, own + 1)}`
}

/** A base or exponent; a number with a unit stands in parentheses, so that `(5 m)^2` is not taken for `5 m^2`. */
function powerPart(expression: Expression, least: number): string {
  return expression.kind === 'number' && expression.unit ? `(${bare(expression)})` : inside(expression, least)
}

function conditionText(condition: Condition, least: 0 | 1 | 2): string {
  switch (condition.kind) {
    case 'compare':
      return `${inside(condition.left, SUM)} ${condition.operator} ${inside(condition.right, SUM)}`
    case 'not':
      return `not ${conditionText(condition.arg, 2)}`
    case 'both': {
      const text = `${conditionText(condition.left, 1)} and ${conditionText(condition.right, 2)}`
      return least > 1 ? `(${text})` : text
    }
    case 'either': {
      const text = `${conditionText(condition.left, 0)} or ${conditionText(condition.right, 1)}`
      return least > 0 ? `(${text})` : text
    }
  }
}

/** `NAME`, or `NAME of NAME`. */
export function referenceText(reference: Reference): string {
  return reference.of ? `${reference.name.text} of ${reference.of.text}` : reference.name.text
}

/** A limit in two parts: the words, and the values. */
function limitParts(limit: Limit): readonly [string, string] {
  if (limit.kind === 'within') return ['within', `${expressionText(limit.from)} to ${expressionText(limit.to)}`]
  const value = expressionText(limit.value)
  return [
    limit.kind,
    limit.kind === 'equal to' && limit.tolerance ? `${value} ± ${expressionText(limit.tolerance)}` : value,
  ]
}

/** A target as tidy prints it by itself, without its level: "apoapsis within 100 km to 110 km". */
export function targetText(target: Pick<Extract<Statement, { kind: 'target' }>, 'value' | 'limit'>): string {
  return [expressionText(target.value), ...limitParts(target.limit)].join(' ')
}

/** A line in parts: lines of one kind that follow one another have the same number of columns, and these are aligned. */
export interface LineParts {
  /** What is aligned only with its own kind; null where nothing is. */
  readonly kind: string | null
  /** The first word, or nothing. */
  readonly first: string
  readonly columns: readonly string[]
  readonly rest: string
}

/** The parts of a line, each as tidy prints it. */
export function lineParts(node: LineNode): LineParts {
  const valued = (first: string, name: string, rest: string): LineParts => ({
    kind: first,
    first,
    columns: [name],
    rest,
  })
  const headed = (first: string, rest: string): LineParts => ({ kind: null, first, columns: [], rest })
  switch (node.kind) {
    case 'sheet':
      return headed('sheet', `"${node.title}"`)
    case 'fact': {
      const error = node.error ? ` ± ${expressionText(node.error)}` : ''
      return valued('fact', node.name.text, `= ${expressionText(node.value)}${error}`)
    }
    case 'lever':
      return valued('lever', node.name.text, rangeText(node.from, node.to, node.step))
    case 'figure':
      return valued('figure', node.name.text, `= ${expressionText(node.value)}`)
    case 'target': {
      const [words, values] = limitParts(node.limit)
      return { kind: 'target', first: node.level, columns: [expressionText(node.value), words], rest: values }
    }
    case 'aim':
      return headed('aim', node.value ? `${node.sense} ${expressionText(node.value)}` : node.sense)
    case 'show':
      return valued('show', referenceText(node.name), `in ${plainUnit(node.unit.text)}`)
    case 'table':
      return headed(
        'table',
        `${node.name.text} of ${node.argument.text}${node.file ? ` from "${node.file.text}"` : ''}`,
      )
    case 'body':
    case 'stage':
    case 'parachute':
      return headed(node.kind, node.name.text)
    case 'flight':
      return headed('flight', `${node.name.text} from ${node.body.text}`)
    case 'variants':
      return headed('variants', [node.name?.text, node.file && `from "${node.file.text}"`].filter(Boolean).join(' '))
    case 'over': {
      const values = node.values.map(each => (each.kind === 'text' ? `"${each.text}"` : expressionText(each)))
      return valued('each', referenceText(node.name), `over ${values.join(', ')}`)
    }
    case 'steps':
      return valued('each', referenceText(node.name), rangeText(node.from, node.to, node.step))
    case 'slot':
      return { kind: 'slot', first: '', columns: [node.name.text], rest: `= ${expressionText(node.value)}` }
    case 'row': {
      const cells = node.cells.map(expressionText)
      return { kind: 'row', first: '', columns: cells.slice(0, -1), rest: cells.at(-1)! }
    }
  }
}

function rangeText(from: Expression, to: Expression, step: Expression | null): string {
  const steps = step ? ` in steps of ${expressionText(step)}` : ''
  return `from ${expressionText(from)} to ${expressionText(to)}${steps}`
}
