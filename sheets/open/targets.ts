import { expressionText, targetText } from '../../grammar/print.ts'
import { error, type Span } from '../../grammar/source.ts'
import type { Expression, Statement } from '../../grammar/tree.ts'
import { type Dimension, same } from '../../grammar/units/dimension.ts'
import { parseUnit, type Unit } from '../../grammar/units/unit.ts'
import type { Aim, Expr, Target } from '../../solver/index.ts'
import { type Checked, type Surroundings, toldAsReading } from './checked.ts'
import { bareMend, kinship, lined, OTHER_KIND, told } from './disagree.ts'
import { elaborate } from './expression.ts'
import { dimensionOf } from './kinds.ts'
import type { AimInfo, TargetInfo, TargetText } from './opened.ts'

type TargetStatement = Extract<Statement, { kind: 'target' }>
type AimStatement = Extract<Statement, { kind: 'aim' }>

/** A target checked: both sides of one kind, bands the right way round where that can be seen. */
export function elaborateTarget(
  statement: TargetStatement,
  around: Surroundings,
): { target: Target; info: TargetInfo } | null {
  const value = elaborate(statement.value, around)
  const limit = elaborateLimit(statement, value, around)
  if (!value || !limit) return null
  return {
    target: { level: statement.level, value: value.expr, limit },
    info: {
      text: targetText(statement),
      span: statement.span,
      unit:
        limitTrees(statement)
          .map(tree => unitOf(tree))
          .find(unit => unit && same(unit.dimension, value.dimension)) ?? null,
      dimension: value.dimension,
      id: value.expr.op === 'ref' ? value.expr.id : null,
      written: writtenText(statement, value.dimension),
    },
  }
}

function writtenText(statement: TargetStatement, dimension: Dimension): TargetText {
  const { limit } = statement
  const ends = limitTrees(statement)
  return {
    subject: expressionText(statement.value),
    ends: ends.map(expressionText),
    tolerance: limit.kind === 'equal to' && limit.tolerance ? expressionText(limit.tolerance) : null,
    units: ends.map(tree => unitOf(tree, dimension)),
  }
}

function limitTrees({ limit }: TargetStatement): readonly Expression[] {
  return limit.kind === 'within' ? [limit.from, limit.to] : [limit.value]
}

function elaborateLimit(
  statement: TargetStatement,
  value: Checked | null,
  around: Surroundings,
): Target['limit'] | null {
  const { limit } = statement
  const trees = limitTrees(statement)
  const sides = trees.map(tree => elaborate(tree, around))
  if (limit.kind === 'within' && unitForgotten(limit.from, limit.to, around)) return null
  const agreed = sides.map(
    (side, index) => side && value && agrees(value, statement.value.span, side, trees[index]!, around),
  )
  const tolerance =
    limit.kind === 'equal to' && limit.tolerance ? elaborateTolerance(limit.tolerance, sides[0] ?? null, around) : null
  if (!agreed.every(Boolean) || (limit.kind === 'equal to' && limit.tolerance && !tolerance)) return null
  const [first, second] = sides as [Checked, Checked | undefined]
  if (limit.kind === 'within') return band(first.expr, second!.expr, limit.from.span, around)
  if (limit.kind === 'equal to') return { kind: 'equal to', value: first.expr, tolerance }
  return { kind: limit.kind, value: first.expr }
}

function band(from: Expr, to: Expr, span: Span, around: Surroundings): Target['limit'] | null {
  if (from.op === 'const' && to.op === 'const' && from.value >= to.value) {
    around.problems.push(
      from.value === to.value
        ? error(
            span,
            'This band has no width: both ends are the same.',
            'Write "equal to" with a tolerance, or widen the band.',
          )
        : error(span, 'This band is upside down: its first end lies above its second.', 'Swap the two ends.'),
    )
    return null
  }
  return { kind: 'within', from, to }
}

/** A half-width after ±: in % a share of the value it belongs to (what hangs on a lever cannot be a fact's), else of that value's dimension. */
export function elaborateTolerance(tree: Expression, value: Checked | null, around: Surroundings): Expr | null {
  const checked = elaborate(tree, around)
  if (!checked || !value) return null
  if (checked.expr.op === 'const' && !(checked.expr.value > 0)) {
    around.problems.push(
      error(tree.span, 'A tolerance is above zero.', 'Give how far from the value it may be, or leave ± out.'),
    )
    return null
  }
  if (unitTextOf(tree) === '%') return { op: 'mul', a: checked.expr, b: { op: 'abs', a: value.expr } }
  if (same(checked.dimension, value.dimension))
    return toldAsReading('A tolerance', checked, tree.span, around) ? null : checked.expr
  around.problems.push(
    error(
      tree.span,
      `The tolerance is ${told(checked)}, but what it belongs to is ${told(value)}.`,
      'Write it in the same unit, or in % of the value.',
    ),
  )
  return null
}

const MASS = dimensionOf('kg')
const ACCELERATION = dimensionOf('m/s^2')

function agrees(value: Checked, valueSpan: Span, limit: Checked, tree: Expression, around: Surroundings): boolean {
  const { span } = tree
  if (same(value.dimension, limit.dimension)) return true
  const gram = same(value.dimension, ACCELERATION) && same(limit.dimension, MASS)
  const [limitNote, valueNote] = lined(limit, value)
  around.problems.push({
    ...error(
      span,
      `The limit is ${told(limit)}, but what it limits is ${told(value)}.${gram ? '' : kinship(value, limit)}`,
      gram
        ? `g is the gram here; standard gravity is g0: write "${tree.kind === 'number' ? tree.text : '6'} g0".`
        : (bareMend(tree, limit, value) ?? OTHER_KIND),
      [{ ...valueSpan, message: valueNote }],
    ),
    note: limitNote,
  })
  return false
}

/** `from 1 to 100 %`: the first number lacks the second's unit, and nobody can be sure what was meant. Says so and is true. */
export function unitForgotten(first: Expression, second: Expression, around: Pick<Surroundings, 'problems'>): boolean {
  const [bare, withUnit] = [unitTextOf(first), unitTextOf(second)]
  const [lacking, other] =
    bare === '' && withUnit ? [first, withUnit] : withUnit === '' && bare ? [second, bare] : [null, '']
  if (lacking?.kind !== 'number') return false
  around.problems.push(
    error(
      lacking.span,
      `One end has the unit ${other}, the other has none.`,
      `Repeat the unit: write "${lacking.text} ${other}".`,
    ),
  )
  return true
}

/** The unit text of a plain literal, '' where it has none, undefined where the expression is no literal. */
function unitTextOf(tree: Expression): string | undefined {
  if (tree.kind === 'sign') return unitTextOf(tree.arg)
  return tree.kind === 'number' ? (tree.unit?.text ?? '') : undefined
}

/** The unit of the first number with a unit in an expression, left to right: the one its writer thinks in. */
export function unitOf(tree: Expression, dimension?: Dimension): Unit | null {
  switch (tree.kind) {
    case 'number': {
      if (!tree.unit) return null
      const parsed = parseUnit(tree.unit.text)
      return 'unit' in parsed && (!dimension || same(parsed.unit.dimension, dimension)) ? parsed.unit : null
    }
    case 'reference':
      return null
    case 'call':
      return tree.args.map(arg => unitOf(arg, dimension)).find(unit => unit) ?? null
    case 'sign':
      return unitOf(tree.arg, dimension)
    case 'binary':
      return unitOf(tree.left, dimension) ?? unitOf(tree.right, dimension)
    case 'if':
      return unitOf(tree.yes, dimension) ?? unitOf(tree.no, dimension)
  }
}

export function elaborateAim(statement: AimStatement, around: Surroundings): { aim: Aim; info: AimInfo } | null {
  if (statement.sense === 'roomiest')
    return { aim: { sense: 'roomiest', value: null }, info: { text: 'roomiest', id: null, dimension: [] } }
  const value = elaborate(statement.value, around)
  if (!value) return null
  return {
    aim: { sense: statement.sense, value: value.expr },
    info: {
      text: `${statement.sense} ${expressionText(statement.value)}`,
      id: value.expr.op === 'ref' ? value.expr.id : null,
      dimension: value.dimension,
    },
  }
}
