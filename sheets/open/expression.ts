import { error } from '../../grammar/source.ts'
import type { Condition, Expression } from '../../grammar/tree.ts'
import { divide, isNone, multiply, NONE, power } from '../../grammar/units/dimension.ts'
import { decimalToSI, mendOf, parseUnit } from '../../grammar/units/unit.ts'
import type { Expr, Test } from '../../solver/index.ts'
import { elaborateCall } from './call.ts'
import { type Checked, constant, fold, type Surroundings, sameOrSay } from './checked.ts'
import { plainMend, told } from './disagree.ts'

/** Elaborates an expression; null where it holds a mistake, which stands in `problems`. */
export function elaborate(expression: Expression, around: Surroundings): Checked | null {
  switch (expression.kind) {
    case 'number':
      return elaborateNumber(expression, around)
    case 'reference':
      if (around.local && expression.of === null && expression.name.text === around.local.name)
        return { expr: { op: 'local' }, dimension: around.local.dimension }
      if (expression.of === null && expression.name.text === 'pi') return { expr: constant(Math.PI), dimension: NONE }
      return around.lookup(expression.name, expression.of, expression.span)
    case 'call':
      return elaborateCall(
        expression,
        expression.args.map(arg => elaborate(arg, around)),
        around,
      )
    case 'sign': {
      const arg = elaborate(expression.arg, around)
      if (!arg || expression.operator === '+') return arg
      return { ...arg, expr: fold({ op: 'neg', a: arg.expr }) }
    }
    case 'binary':
      return elaborateBinary(expression, around)
    case 'if': {
      const test = elaborateCondition(expression.test, around)
      const yes = elaborate(expression.yes, around)
      const no = elaborate(expression.no, around)
      if (!yes || !no) return null
      if (!sameOrSay(yes, no, expression.yes, expression.no, 'The two branches of this "if" differ', around))
        return null
      return test && { expr: { op: 'if', test, yes: yes.expr, no: no.expr }, dimension: yes.dimension }
    }
  }
}

const SMALLER = 'Give a smaller number.'

function elaborateNumber(number: Extract<Expression, { kind: 'number' }>, around: Surroundings): Checked | null {
  if (!Number.isFinite(number.value)) {
    around.problems.push(error(number.span, `${number.text} is too large a number to work with.`, SMALLER))
    return null
  }
  if (!number.unit) return { expr: constant(number.value), dimension: NONE }
  const parsed = parseUnit(number.unit.text)
  if ('fault' in parsed) {
    // "2 x" with an x in the sheet: a product without its sign.
    const known = parsed.fault.mend === null && around.known().has(number.unit.text)
    const mend = known ? `Write ${number.text} * ${number.unit.text}.` : mendOf(parsed.fault)
    around.problems.push(error(number.unit.span, parsed.fault.message, mend))
    return null
  }
  const si = decimalToSI(number.text, parsed.unit)
  if (!Number.isFinite(si)) {
    around.problems.push(error(number.span, `${number.text} ${number.unit.text} is too large to work with.`, SMALLER))
    return null
  }
  return { expr: constant(si), dimension: parsed.unit.dimension, unit: parsed.unit }
}

const OPERATIONS = { '+': 'add', '-': 'sub', '*': 'mul', '/': 'div', '^': 'pow' } as const

function elaborateBinary(expression: Extract<Expression, { kind: 'binary' }>, around: Surroundings): Checked | null {
  const left = elaborate(expression.left, around)
  const right = elaborate(expression.right, around)
  if (!left || !right) return null
  const expr = fold({ op: OPERATIONS[expression.operator], a: left.expr, b: right.expr })
  switch (expression.operator) {
    case '+':
    case '-': {
      const words = expression.operator === '+' ? 'These cannot be added' : 'One cannot be taken from the other'
      return sameOrSay(left, right, expression.left, expression.right, words, around)
        ? { expr, dimension: left.dimension }
        : null
    }
    case '*':
      return { expr, dimension: multiply(left.dimension, right.dimension) }
    case '/':
      return { expr, dimension: divide(left.dimension, right.dimension) }
    case '^':
      return elaboratePower(left, right, expr, expression, around)
  }
}

function elaboratePower(
  base: Checked,
  exponent: Checked,
  expr: Expr,
  expression: Extract<Expression, { kind: 'binary' }>,
  around: Surroundings,
): Checked | null {
  if (!isNone(exponent.dimension)) {
    around.problems.push(
      error(expression.right.span, `An exponent is a plain number; this is ${told(exponent)}.`, plainMend(exponent)),
    )
    return null
  }
  if (isNone(base.dimension)) return { expr, dimension: NONE }
  if (exponent.expr.op !== 'const') {
    around.problems.push(
      error(
        expression.right.span,
        `The base is ${told(base)}, so its exponent must be a written number: otherwise nobody could say what the result is.`,
        'Write a number as the exponent, or divide the base by its unit first.',
      ),
    )
    return null
  }
  if (Math.abs(exponent.expr.value) > 30) {
    around.problems.push(
      error(
        expression.right.span,
        'A power of a quantity with a unit goes up to 30 here.',
        'Divide the base by its unit first.',
      ),
    )
    return null
  }
  return { expr, dimension: power(base.dimension, exponent.expr.value) }
}

const ORDERS = { '<': 'lt', '<=': 'le', '>': 'gt', '>=': 'ge', '=': 'eq' } as const

function elaborateCondition(condition: Condition, around: Surroundings): Test | null {
  if (condition.kind === 'not') {
    const a = elaborateCondition(condition.arg, around)
    return a && { op: 'not', a }
  }
  if (condition.kind === 'compare') {
    const left = elaborate(condition.left, around)
    const right = elaborate(condition.right, around)
    if (!left || !right) return null
    if (!sameOrSay(left, right, condition.left, condition.right, 'These cannot be compared', around)) return null
    return { op: ORDERS[condition.operator], a: left.expr, b: right.expr }
  }
  const a = elaborateCondition(condition.left, around)
  const b = elaborateCondition(condition.right, around)
  return a && b && { op: condition.kind === 'both' ? 'and' : 'or', a, b }
}
