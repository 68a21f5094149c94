import type { Vocabulary } from '../../grammar/nearest.ts'
import { error, type Problem, type Span } from '../../grammar/source.ts'
import type { Expression, Name } from '../../grammar/tree.ts'
import { type Dimension, same } from '../../grammar/units/dimension.ts'
import { isReading, type Unit } from '../../grammar/units/unit.ts'
import type { Curve, Expr } from '../../solver/index.ts'
import { bareMend, kinship, lined, OTHER_KIND, told } from './disagree.ts'

/** An expression checked and turned to SI. */
export interface Checked {
  readonly expr: Expr
  readonly dimension: Dimension
  /** The unit it is written or shown in, where it is one number or one quantity: for messages. */
  readonly unit?: Unit | null
}

/** What an expression's names may stand for, answered by the sheet being opened. */
export interface Surroundings {
  readonly problems: Problem[]
  /** The quantity behind a name; null where a problem was reported (here or before). */
  readonly lookup: (name: Name, of: Name | null, span: Span) => Checked | null
  readonly table: (name: string) => TableEntry | undefined
  /** The body meant by an air function. */
  readonly body: (name: Name, of: Name | null, span: Span) => number | null
  /** The block's own argument, or null: only a drag coefficient has one. */
  readonly local: { readonly name: string; readonly dimension: Dimension } | null
  /** Told of each table used, so that use outside its range can be noticed at the answer. */
  readonly used: (table: TableEntry, argument: Expr, span: Span) => void
  /** Told of each count of motors that is not a plain number, so that a broken one can be noticed once its value is known. */
  readonly counted: (count: Expr, span: Span) => void
  /** Names that a wrong one may have meant. */
  readonly known: () => Vocabulary
  /** Whether a name belongs to a line that is wrong itself: there nothing more is said. */
  readonly lost: (name: string) => boolean
}

export interface TableEntry {
  readonly name: string
  /** Where it is declared. */
  readonly span: Span
  readonly curve: Curve
  readonly argument: Dimension
  readonly value: Dimension
  /** Unit text of the first column, for messages. */
  readonly argumentUnit: string
  /** Its columns in SI, that of the argument first. With more than two it cannot be looked up by one value. */
  readonly columns: readonly { readonly dimension: Dimension; readonly values: Float64Array }[]
}

/** Whether two sides have one dimension; if not, says so at both places. */
export function sameOrSay(
  left: Checked,
  right: Checked,
  leftTree: Expression,
  rightTree: Expression,
  words: string,
  around: Pick<Surroundings, 'problems'>,
): boolean {
  if (same(left.dimension, right.dimension)) return true
  const [leftNote, rightNote] = lined(left, right)
  around.problems.push({
    ...error(
      rightTree.span,
      `${words}: ${told(left)} and ${told(right)}.${kinship(left, right)}`,
      bareMend(leftTree, left, right) ?? bareMend(rightTree, right, left) ?? OTHER_KIND,
      [{ ...leftTree.span, message: leftNote }],
    ),
    note: rightNote,
  })
  return false
}

/** Whether a difference of temperatures is told by a reading (degC); if so, says that it cannot be. */
export function toldAsReading(
  what: string,
  { unit }: Checked,
  span: Span,
  { problems }: Pick<Surroundings, 'problems'>,
): boolean {
  if (!unit || !isReading(unit)) return false
  const words = `${what} is a difference of temperatures; a number of ${unit.text} is a temperature.`
  problems.push(error(span, words, 'Write the difference in K.'))
  return true
}

export function constant(value: number): Expr {
  return { op: 'const', value }
}

/** Works out an operation on written numbers, so that `2 * 3 m` and `1/3` are constants. Left as it is where the result would not be finite. */
export function fold(expr: Expr): Expr {
  if ('b' in expr && expr.a.op === 'const' && expr.b.op === 'const') {
    const value = foldBinary(expr.op as keyof typeof FOLDS, expr.a.value, expr.b.value)
    return Number.isFinite(value) ? constant(value) : expr
  }
  if (expr.op === 'neg' && expr.a.op === 'const') return constant(-expr.a.value)
  return expr
}

const FOLDS = {
  add: (a: number, b: number) => a + b,
  sub: (a: number, b: number) => a - b,
  mul: (a: number, b: number) => a * b,
  div: (a: number, b: number) => a / b,
  pow: (a: number, b: number) => a ** b,
  min: (a: number, b: number) => Math.min(a, b),
  max: (a: number, b: number) => Math.max(a, b),
}

function foldBinary(op: keyof typeof FOLDS, a: number, b: number): number {
  return FOLDS[op](a, b)
}
