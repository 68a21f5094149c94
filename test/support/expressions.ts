import fc from 'fast-check'
import type { Binary, Expr, Test, Unary } from '../../solver/model/expr.ts'
import { num, ref } from './closed-flight.ts'

/** What a random expression may be made of. */
export interface Ingredients {
  readonly unary: readonly Unary[]
  readonly binary: readonly Binary[]
  readonly branches: boolean
}

export const SMOOTH: Ingredients = {
  unary: ['neg', 'sqrt', 'exp', 'ln', 'log10', 'sin', 'cos', 'tan', 'asin', 'acos', 'atan'],
  binary: ['add', 'sub', 'mul', 'div', 'pow'],
  branches: false,
}

export const ALL: Ingredients = {
  unary: [...SMOOTH.unary, 'abs'],
  binary: [...SMOOTH.binary, 'min', 'max'],
  branches: true,
}

/** Random expressions over quantities 0 … `count` − 1, up to `depth` levels deep. */
export function expressions(count: number, ingredients: Ingredients, depth = 4): fc.Arbitrary<Expr> {
  const leaf = fc.oneof(
    fc.integer({ min: -40, max: 40 }).map(n => num(n / 8)),
    fc.integer({ min: 0, max: count - 1 }).map(ref),
    fc.integer({ min: 0, max: count - 1 }).map(ref),
  )
  if (depth === 0) return leaf
  const inner = expressions(count, ingredients, depth - 1)
  const options: fc.Arbitrary<Expr>[] = [
    leaf,
    fc.tuple(fc.constantFrom(...ingredients.unary), inner).map(([op, a]) => ({ op, a })),
    fc.tuple(fc.constantFrom(...ingredients.binary), inner, inner).map(([op, a, b]) => shape(op, a, b)),
    fc.tuple(fc.constantFrom(...ingredients.binary), inner, inner).map(([op, a, b]) => shape(op, a, b)),
  ]
  if (ingredients.branches) {
    options.push(fc.tuple(tests(inner), inner, inner).map(([test, yes, no]) => ({ op: 'if', test, yes, no })))
  }
  return fc.oneof(...options)
}

/** Powers get a small constant for their exponent most of the time, as sheets do. */
function shape(op: Binary, a: Expr, b: Expr): Expr {
  if (op !== 'pow' || b.op === 'ref') return { op, a, b }
  const exponents = [2, 3, -1, 0.5, 1.5, 0, 1, -2]
  const pick = b.op === 'const' ? Math.abs(Math.round(b.value * 8)) % exponents.length : 0
  return { op, a, b: num(exponents[pick]!) }
}

function tests(inner: fc.Arbitrary<Expr>): fc.Arbitrary<Test> {
  const compare: fc.Arbitrary<Test> = fc
    .tuple(fc.constantFrom('lt', 'le', 'gt', 'ge', 'eq'), inner, inner)
    .map(([op, a, b]) => ({ op, a, b }))
  const both: fc.Arbitrary<Test> = fc
    .tuple(fc.constantFrom('and', 'or'), compare, compare)
    .map(([op, a, b]) => ({ op, a, b }))
  const not: fc.Arbitrary<Test> = compare.map(a => ({ op: 'not', a }))
  return fc.oneof(compare, compare, both, not)
}

/** An expression as mathjs reads it; quantities are x0, x1, … */
export function mathText(expr: Expr): string {
  switch (expr.op) {
    case 'const':
      return `(${expr.value})`
    case 'ref':
      return `x${expr.id}`
    case 'neg':
      return `(-${mathText(expr.a)})`
    case 'ln':
      return `log(${mathText(expr.a)})`
    case 'add':
    case 'sub':
    case 'mul':
    case 'div':
    case 'pow':
      return `(${mathText(expr.a)} ${{ add: '+', sub: '-', mul: '*', div: '/', pow: '^' }[expr.op]} ${mathText(expr.b)})`
    case 'min':
    case 'max':
      return `${expr.op}(${mathText(expr.a)}, ${mathText(expr.b)})`
    case 'if':
      return `(${testText(expr.test)} ? ${mathText(expr.yes)} : ${mathText(expr.no)})`
    case 'local':
    case 'curve':
    case 'air':
      throw new Error(`mathjs has no ${expr.op}`)
    default:
      return `${expr.op}(${mathText(expr.a)})`
  }
}

function testText(test: Test): string {
  if (test.op === 'not') return `not(${testText(test.a)})`
  if (test.op === 'and' || test.op === 'or') return `(${testText(test.a)} ${test.op} ${testText(test.b)})`
  const sign = { lt: '<', le: '<=', gt: '>', ge: '>=', eq: '==' }[test.op]
  return `(${mathText(test.a)} ${sign} ${mathText(test.b)})`
}
