import { describe, expect, test } from 'vitest'
import type { Expr } from '../../solver/model/expr.ts'
import type { Target } from '../../solver/model/model.ts'
import { compile, foresee, start, type Verdict } from '../../solver/network/index.ts'
import {
  add,
  closedParts,
  div,
  fact,
  flight,
  flown,
  lever,
  model,
  mul,
  num,
  range,
  ref,
  sub,
} from '../support/closed-flight.ts'

// Source: where each function of real numbers is defined, and intervals put in by hand.

const [x, y] = [ref(0), ref(1)]
const root = (a: Expr): Expr => ({ op: 'sqrt', a })
/** One where `a` is above a number, another elsewhere. */
const when = (a: Expr, above: number, yes: Expr, no: Expr): Expr => ({
  op: 'if',
  test: { op: 'gt', a, b: num(above) },
  yes,
  no,
})
const pow = (a: Expr, b: Expr): Expr => ({ op: 'pow', a, b })
type Limit = Target['limit']
type Ends = readonly [number, number]
const pairs = (ends: readonly number[]): Ends[] =>
  Array.from({ length: ends.length / 2 }, (_, k) => [ends[2 * k]!, ends[2 * k + 1]!])

/** What is foreseen of one target on a sheet of two levers and a fact of 3. */
function foreseen(value: Expr, limit: Limit, [from, to]: Ends, [least, most]: Ends = [0, 1]): Verdict {
  const quantities = [lever('x', from, to), lever('y', least, most), fact('three', 3)]
  const state = start(compile(model(quantities, { targets: [{ level: 'must', value, limit }] }), closedParts()))
  return foresee(state, [range(from, to), range(least, most)]).verdicts[0]!
}

describe('a target that no value could break is met always only where the value surely is', () => {
  const unbreakable = { kind: 'at least', value: num(-1e9) } as const
  // Ranges in which it surely has a value, then some in which it may have none: their ends one after the other.
  const cases: readonly [string, Expr, readonly number[], readonly number[]][] = [
    ['x', x, [-5, 5], []],
    ['1/x', div(num(1), x), [1, 2, -2, -1], [0, 1, -1, 0, -1, 1]],
    ['√x', root(x), [0, 4, 1, 2], [-1, 4, -2, -1]],
    ['ln x', { op: 'ln', a: x }, [0.1, 4], [0, 1, -1, 1]],
    ['log10 |x|', { op: 'log10', a: { op: 'abs', a: x } }, [0.1, 4, -4, -1], [0, 1, -1, 1]],
    ['asin x', { op: 'asin', a: x }, [-1, 1, 0, 0.5], [-1.5, 1, -1, 1.5, 2, 3]],
    ['acos x', { op: 'acos', a: x }, [-1, 1, 0, 0.5], [-1.5, 1, -1, 1.5, 2, 3]],
    ['x^0.3', pow(x, num(0.3)), [0, 4, 1, 2], [-1, 4]],
    ['x^y', pow(x, y), [0, 4, 1, 2], [-1, 4]],
    ['x^−y', pow(x, { op: 'neg', a: y }), [1, 2], [0, 4, -4, -1]],
    ['x³', pow(x, num(3)), [-2, 2, 0, 4], []],
    ['x⁻³', pow(x, num(-3)), [-2, -1, 1, 2], [0, 1, -1, 1, -1, 0]],
    ['x + √x', add(x, root(x)), [0, 4], [-1, 4]],
    ['2 √x', mul(root(x), num(2)), [0, 4], [-1, 4]],
    ['√x where x > 0, else 1', when(x, 0, root(x), num(1)), [1, 4, -4, -1], []],
    ['1 where x > 0, else √x', when(x, 0, num(1), root(x)), [1, 4], [-4, 4, -4, -1]],
    ['5 where x > 2, else 6', when(x, 2, num(5), num(6)), [0, 4, 3, 4], []],
    ['5 where √x > 2, else 6', when(root(x), 2, num(5), num(6)), [0, 4], [-1, 4]],
    ['pressure', { op: 'air', property: 'pressure', body: 0, a: x }, [0, 1000], []],
    ['temperature', { op: 'air', property: 'temperature', body: 0, a: x }, [], [0, 1000]],
    ['e^x', { op: 'exp', a: x }, [0, 700], [0, 800]],
  ]
  test.each(cases)('%s', (_, value, sure, unsure) => {
    for (const ends of pairs(sure)) expect([ends, foreseen(value, unbreakable, ends)]).toEqual([ends, 'always'])
    for (const ends of pairs(unsure)) expect([ends, foreseen(value, unbreakable, ends)]).not.toEqual([ends, 'always'])
  })
})

describe('what the intervals say of a target', () => {
  const least = (value: number): Limit => ({ kind: 'at least', value: num(value) })
  const most = (value: number): Limit => ({ kind: 'at most', value: num(value) })
  const within = (from: number, to: number): Limit => ({ kind: 'within', from: num(from), to: num(to) })
  const near = (value: number, tolerance: number): Limit => ({
    kind: 'equal to',
    value: num(value),
    tolerance: num(tolerance),
  })
  const cases: readonly [string, Expr, Limit, Verdict][] = [
    ['at least what it is at least', x, least(2), 'always'],
    ['at least what it is somewhere', x, least(3), 'open'],
    ['at least more than it is anywhere', x, least(4.1), 'never'],
    ['at most what it is at most', x, most(4), 'always'],
    ['at most what it is somewhere', x, most(3), 'open'],
    ['at most less than it is anywhere', x, most(1.9), 'never'],
    ['within all that it is', x, within(2, 4), 'always'],
    ['within too little below', x, within(2.1, 4), 'open'],
    ['within too little above', x, within(2, 3.9), 'open'],
    ['within what it is nowhere', x, within(5, 6), 'never'],
    ['near enough everywhere', x, near(3, 1.01), 'always'],
    ['near enough at one end', x, near(3.5, 1.01), 'open'],
    ['near enough at the other end', x, near(2.5, 1.01), 'open'],
    ['near enough nowhere', x, near(8, 1), 'never'],
    ['equal to one value', x, { kind: 'equal to', value: num(3), tolerance: null }, 'open'],
    ['a sum that cancels, at least', sub(add(x, y), x), least(-0.01), 'always'],
    ['a sum that cancels, at most', sub(add(x, y), x), most(1.01), 'always'],
    ['a sum that cancels, within', sub(add(x, y), x), within(-0.01, 1.01), 'always'],
    ['a sum that cancels, within less above', sub(add(x, y), x), within(-1, 0.5), 'open'],
    ['a sum that cancels, within less below', sub(add(x, y), x), within(0.5, 1), 'open'],
    ['a sum that cancels, nowhere', sub(add(x, y), x), least(1.1), 'never'],
    ['a fact, that no lever reaches', ref(2), least(1), 'open'],
  ]
  test.each(cases)('%s', (_, value, limit, verdict) => {
    expect(foreseen(value, limit, [2, 4])).toBe(verdict)
  })
  test('a limit that a lever moves counts where it asks most', () => {
    const limit: Limit = { kind: 'at least', value: y }
    expect(foreseen(x, limit, [1, 4])).toBe('always')
    expect(foreseen(x, limit, [0.9, 4])).toBe('open')
    expect(foreseen(x, { kind: 'at most', value: y }, [-1, 0])).toBe('always')
  })
})

test('a pinned lever counts where it stands, and a flown figure is never sure', () => {
  const limit = { kind: 'at least', value: num(0) } as const
  const targets = [
    { level: 'must', value: sub(add(x, y), x), limit: { kind: 'at least', value: num(0.5) } },
    { level: 'must', value: ref(2), limit },
  ] as const
  const quantities = [lever('x', 0, 4), lever('y', 0, 1), flown('apoapsis', 0)]
  const flights = [flight('hop', { propellantMass: add(num(100), x) })]
  const state = start(compile(model(quantities, { targets, flights }), closedParts()))
  expect(foresee(state, [range(0, 4), range(0, 1)]).verdicts).toEqual(['open', 'open'])
  state.pin(1, 0.7)
  expect(foresee(state, [range(0, 4)]).verdicts).toEqual(['always', 'open'])
  state.pin(1, 0.3)
  expect(foresee(state, [range(0, 4)]).verdicts).toEqual(['never', 'open'])
})
