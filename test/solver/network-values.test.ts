import { describe, expect, test } from 'vitest'
import type { Expr, Test } from '../../solver/model/expr.ts'
import type { Quantity } from '../../solver/model/model.ts'
import { compile, start, whyNone, whySlot } from '../../solver/network/index.ts'
import { OP } from '../../solver/network/tape.ts'
import { add, closedParts, div, fact, figure, lever, model, mul, num, ref, sub } from '../support/closed-flight.ts'

const none = new Float64Array(0)
const at = (...x: number[]) => Float64Array.from(x)
const when = (test: Test, yes: Expr, no: Expr): Expr => ({ op: 'if', test, yes, no })

/** The value and slope of an expression of one lever (quantity 0). */
function of(expr: Expr, x: number): { value: number; slope: number; steep: boolean } {
  const state = start(compile(model([lever('x', -10, 10), figure('f', expr)]), closedParts()))
  state.evaluateAlgebra(at(x), true)
  return { value: state.valueOf(1), slope: state.slopesOf(1)[0]!, steep: state.slopes.steep !== -1 }
}

test('a fact is changed and given back, and what hangs on it follows', () => {
  const state = start(
    compile(model([fact('a', 2), fact('b', mul(ref(0), num(10))), figure('c', add(ref(0), ref(1)))]), closedParts()),
  )
  const c = () => {
    state.evaluateAlgebra(none)
    return state.valueOf(2)
  }
  expect(c()).toBe(22)
  state.setFact(0, 3)
  expect(c()).toBe(33)
  state.setFact(1, 1)
  expect(c()).toBe(4)
  state.setFact(0, null)
  state.setFact(1, null)
  expect(c()).toBe(22)
  expect(() => state.setFact(2, 1)).toThrow('no fact')
  expect(() => state.setFact(0, Number.NaN)).toThrow('NaN')
})

test('two facts of the same value stay two facts', () => {
  const state = start(compile(model([fact('a', 2), fact('b', 2), figure('c', sub(ref(0), ref(1)))]), closedParts()))
  state.setFact(1, 5)
  state.evaluateAlgebra(none)
  expect(state.valueOf(2)).toBe(-3)
})

test('what is written twice is worked out once, products and sums in either order', () => {
  const once = compile(model([lever('x'), lever('y'), figure('f', mul(add(ref(0), ref(1)), num(3)))]), closedParts())
  const twice = compile(
    model([
      lever('x'),
      lever('y'),
      figure('f', mul(add(ref(0), ref(1)), num(3))),
      figure('g', mul(num(3), add(ref(1), ref(0)))),
    ]),
    closedParts(),
  )
  expect(twice.tape.length).toBe(once.tape.length)
})

test('the first power of a figure is the figure itself, its square and its root are quick', () => {
  const power = (b: number): Quantity => figure('f', { op: 'pow', a: ref(0), b: num(b) })
  const slots = compile(model([lever('x'), power(1)]), closedParts()).slots
  expect(slots[1]).toBe(slots[0])
  const instruction = (b: number): number => {
    const { tape, slots } = compile(model([lever('x'), power(b)]), closedParts())
    return tape.op[slots[1]!]!
  }
  expect([2, 0.5, 3].map(instruction)).toEqual([OP.square, OP.sqrt, OP.pow])
})

test('a branch not taken may have no value', () => {
  const root = (a: Expr): Expr => ({ op: 'sqrt', a })
  const safe = when({ op: 'ge', a: ref(0), b: num(0) }, root(ref(0)), root({ op: 'neg', a: ref(0) }))
  expect(of(safe, 4)).toMatchObject({ value: 2, slope: 0.25 })
  expect(of(safe, -4)).toMatchObject({ value: 2, slope: -0.25 })
})

test('a test knows that false and anything is false, true or anything is true', () => {
  const bad: Test = { op: 'lt', a: { op: 'sqrt', a: num(-1) }, b: num(0) }
  const no: Test = { op: 'lt', a: num(1), b: num(0) }
  const yes: Test = { op: 'not', a: no }
  expect(of(when({ op: 'and', a: bad, b: no }, num(1), num(2)), 0).value).toBe(2)
  expect(of(when({ op: 'or', a: yes, b: bad }, num(1), num(2)), 0).value).toBe(1)
  expect(of(when({ op: 'and', a: bad, b: yes }, num(1), num(2)), 0).value).toBeNaN()
})

describe('where a function bends, its slope is one side’s and finite', () => {
  const cases: readonly [string, Expr, number, number][] = [
    ['abs at 0', { op: 'abs', a: ref(0) }, 0, 1],
    ['min at a tie', { op: 'min', a: ref(0), b: mul(num(2), ref(0)) }, 0, 1],
    ['max at a tie', { op: 'max', a: ref(0), b: mul(num(2), ref(0)) }, 0, 1],
    ['a branch at its edge', when({ op: 'le', a: ref(0), b: num(1) }, ref(0), num(1)), 1, 1],
    ['x² at 0', { op: 'pow', a: ref(0), b: num(2) }, 0, 0],
    ['x³ at −2', { op: 'pow', a: ref(0), b: num(3) }, -2, 12],
    ['x⁰ at 0', { op: 'pow', a: ref(0), b: num(0) }, 0, 0],
    ['1/x² at −2', { op: 'pow', a: ref(0), b: num(-2) }, -2, 0.25],
  ]
  for (const [title, expr, x, slope] of cases) {
    test(title, () => {
      expect(of(expr, x).slope).toBeCloseTo(slope, 12)
    })
  }
})

test('an infinite slope of a value that exists is 0 and told', () => {
  for (const expr of [
    { op: 'sqrt', a: ref(0) },
    { op: 'pow', a: ref(0), b: num(0.25) },
  ] as const) {
    expect(of(expr, 0)).toEqual({ value: 0, slope: 0, steep: true })
  }
  expect(of({ op: 'acos', a: ref(0) }, 1)).toEqual({ value: 0, slope: 0, steep: true })
  expect(of({ op: 'sqrt', a: ref(0) }, 1).steep).toBe(false)
})

describe('why a quantity has no value', () => {
  const cases: readonly [string, Expr][] = [
    ['division by zero', div(num(1), ref(0))],
    ['root of a negative number', { op: 'sqrt', a: sub(ref(0), num(1)) }],
    ['logarithm of zero or less', { op: 'ln', a: ref(0) }],
    ['logarithm of zero or less', { op: 'log10', a: sub(ref(0), num(1)) }],
    ['arc sine or cosine outside −1 to 1', { op: 'asin', a: num(2) }],
    ['power of a negative number', { op: 'pow', a: sub(ref(0), num(2)), b: num(0.3) }],
    ['power of zero', { op: 'pow', a: ref(0), b: num(-1) }],
    ['too large', { op: 'exp', a: add(ref(0), num(1000)) }],
    ['too large', mul(num(1e200), num(1e200))],
    ['no air there', { op: 'air', property: 'density', body: 0, a: ref(0) }],
  ]
  for (const [kind, expr] of cases) {
    test(kind, () => {
      const sheet = model([lever('x'), figure('source', expr), figure('reader', add(ref(1), num(1)))])
      const state = start(compile(sheet, closedParts()))
      state.evaluateAlgebra(at(0))
      expect(whyNone(state, 2)).toEqual({ kind, id: 1 })
      expect(whyNone(state, 0)).toBeNull()
    })
  }
  test('a target of its own accord', () => {
    const value: Expr = { op: 'sqrt', a: num(-1) }
    const sheet = model([], { targets: [{ level: 'must', value, limit: { kind: 'at least', value: num(0) } }] })
    const state = start(compile(sheet, closedParts()))
    state.evaluateAlgebra(none)
    expect(whySlot(state, state.program.targets[0]!.value)).toEqual({ kind: 'root of a negative number', id: null })
  })
})

test('a pinned lever takes no lane, and its value stands', () => {
  const state = start(compile(model([lever('b'), lever('a'), figure('f', mul(ref(0), ref(1)))]), closedParts()))
  state.pin(1, 4)
  state.evaluateAlgebra(at(3), true)
  expect([state.valueOf(2), ...state.slopesOf(2)]).toEqual([12, 4])
  expect([...state.free]).toEqual([1])
  expect([state.pinned(0), state.pinned(1)]).toEqual([4, Number.NaN])
  state.pin(1, null)
  state.evaluateAlgebra(at(4, 3), true)
  expect([state.valueOf(2), ...state.slopesOf(2)]).toEqual([12, 3, 4])
  const copied = new Float64Array(3)
  state.copySlopes(state.program.slots[2]!, copied, 1)
  expect([...copied]).toEqual([0, 3, 4])
  expect(() => state.evaluateAlgebra(at(1))).toThrow('1 values for 2')
})

test('the air has a slope by altitude, and by the body’s own numbers where levers reach them', () => {
  const air = { pressure: ref(0), density: num(1), scaleHeight: ref(1), soundSpeed: null, top: num(1e5) }
  const body = { kind: 'own', radius: num(1e6), gravity: num(5), air, space: null } as const
  const pressure: Expr = { op: 'air', property: 'pressure', body: 0, a: ref(2) }
  const sheet = model([lever('surface'), lever('scale'), lever('up'), figure('p', pressure)], { bodies: [body] })
  const state = start(compile(sheet, closedParts()))
  state.evaluateAlgebra(at(5000, 500, 1000), true)
  const [scale, surface, up] = [5000, 500, 1000] // In order of name.
  const p = surface * Math.exp(-up / scale)
  expect(state.valueOf(3)).toBeCloseTo(p, 10)
  const slopes = [(p * up) / scale ** 2, p / surface, -p / scale]
  state.slopesOf(3).forEach((slope, l) => {
    expect(slope).toBeCloseTo(slopes[l]!, 9)
  })
})
