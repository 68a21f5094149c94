import { describe, expect, test } from 'vitest'
import type { Expr } from '../../solver/model/expr.ts'
import type { Quantity, Target } from '../../solver/model/model.ts'
import { compile, narrow, prove, start } from '../../solver/network/index.ts'
import {
  add,
  closedParts,
  div,
  fact,
  figure,
  flight,
  flown,
  lever,
  model,
  mul,
  num,
  ref,
  sub,
} from '../support/closed-flight.ts'

const must = (value: Expr, kind: 'at least' | 'at most', limit: Expr | number): Target => ({
  level: 'must',
  value,
  limit: { kind, value: typeof limit === 'number' ? num(limit) : limit },
})
const equal = (value: Expr, to: number, tolerance: number | null = null): Target => ({
  level: 'must',
  value,
  limit: { kind: 'equal to', value: num(to), tolerance: tolerance === null ? null : num(tolerance) },
})
const opened = (quantities: readonly Quantity[], targets: readonly Target[], rest = {}) =>
  start(compile(model(quantities, { targets, ...rest }), closedParts()))
const about = (x: number) => expect.closeTo(x, 5)
const steps = (from: number, to: number, step: number) =>
  Float64Array.from({ length: Math.round((to - from) / step) + 1 }, (_, k) => from + k * step)

describe('a lever’s range', () => {
  test('is narrowed through a figure’s relation, solved the other way', () => {
    // Thrust over weight at least 2: 15.4 kN·cap ≥ 2·9.80665·435.
    const quantities = [
      lever('cap', 0.3, 1),
      fact('mass', 435),
      figure('weight', mul(ref(1), num(9.80665))),
      figure('ratio', div(mul(ref(0), num(15400)), ref(2))),
    ]
    const { low, high, quantities: told } = narrow(opened(quantities, [must(ref(3), 'at least', 2)]))
    const all = told()
    expect([low[0], high[0]]).toEqual([about(0.554012), 1])
    expect([all.low[3], all.high[3]]).toEqual([about(2), about(3.61003)])
  })
  test('through a chain of 3,000 figures', () => {
    const quantities: Quantity[] = [lever('x', 0, 10)]
    for (let i = 1; i <= 3000; i++) quantities.push(figure(`f${i}`, add(ref(i - 1), num(1))))
    const { low, high } = narrow(opened(quantities, [must(ref(3000), 'at most', 3002)]))
    expect([low[0], high[0]]).toEqual([0, about(2)])
  })
  test('through a table, an angle and a branch that is decided', () => {
    const curve = { knots: Float64Array.of(0, 10), coefficients: Float64Array.of(0, 1, 0, 0) }
    const wide: Expr = {
      op: 'if',
      test: { op: 'gt', a: ref(2), b: num(0) },
      yes: { op: 'curve', curve, a: ref(0) },
      no: num(5),
    }
    const quantities = [lever('x', 0, 10), lever('angle', 0, Math.PI / 2), fact('flag', 1), figure('f', wide)]
    const { low, high } = narrow(
      opened(quantities, [must(ref(3), 'at least', 4), must({ op: 'sin', a: ref(1) }, 'at most', 0.5)]),
    )
    expect([low[1], high[1]]).toEqual([expect.closeTo(4, 2), 10])
    expect([low[0], high[0]]).toEqual([0, about(Math.PI / 6)])
  })
  test('ends on settings where it has steps', () => {
    const quantities = [lever('x', 0, 10, steps(0, 10, 1))]
    const { low, high } = narrow(opened(quantities, [must(ref(0), 'at least', 2.5), must(ref(0), 'at most', 7)]))
    expect([low[0], high[0]]).toEqual([3, 7])
    const free = narrow(opened(quantities, [must(ref(0), 'at least', 2.5)]), { steps: false })
    expect(free.low[0]).toBeCloseTo(2.5, 6)
  })
  test('stays where a must is met only by a hair, as judged', () => {
    const quantities = [lever('x', 0, 10)]
    expect(narrow(opened(quantities, [must(ref(0), 'at most', 3)])).high[0]).toBeGreaterThanOrEqual(3 * (1 + 1e-9))
    expect(narrow(opened(quantities, [equal(ref(0), 3)])).low[0]).toBeLessThanOrEqual(3 * (1 - 1e-6))
    expect(narrow(opened(quantities, [equal(ref(0), 3)])).low[0]).toBeGreaterThan(3 * (1 - 2e-6))
    expect(narrow(opened(quantities, [equal(ref(0), 3, 0.5)])).high[0]).toBeCloseTo(3.5, 6)
  })
  test('a pinned lever and an overridden fact count as they stand', () => {
    const state = opened(
      [lever('x', 0, 10), lever('y', 0, 10), fact('sum', 12)],
      [must(add(ref(0), ref(1)), 'at least', ref(2))],
    )
    expect([...narrow(state).low]).toEqual([about(2), about(2)])
    state.pin(0, 4)
    expect([...narrow(state).low]).toEqual([about(8)])
    state.setFact(2, 5)
    expect([...narrow(state).low]).toEqual([about(1)])
  })
  test('takes a box and settings from the caller in place of the model’s', () => {
    const state = opened([lever('x', 0, 10)], [must(ref(0), 'at least', 2.2)])
    const { low, high } = narrow(state, {
      low: Float64Array.of(1),
      high: Float64Array.of(5),
      settings: [steps(1, 5, 0.5)],
    })
    expect([low[0], high[0]]).toEqual([2.5, 5])
  })
})

describe('a zero limit', () => {
  test('is measured by the width that the other musts leave the figure', () => {
    const quantities = [lever('x', -10, 10), figure('f', mul(ref(0), num(3)))]
    const state = opened(quantities, [must(ref(1), 'at least', 0), must(ref(0), 'at most', 4)])
    const { scales } = narrow(state)
    expect([...scales]).toEqual([about(42), Number.NaN])
  })
  test('by one unit where the figure’s width is unknown', () => {
    const flights = [flight('hop', { propellantMass: ref(0) })]
    const state = opened([lever('x', 50, 100), flown('apoapsis', 0)], [must(ref(1), 'at least', 0)], { flights })
    expect([...narrow(state).scales]).toEqual([1])
  })
})

describe('nothing meets the musts', () => {
  test('a few musts are named that are enough, of those that clash', () => {
    const targets = [
      must(ref(1), 'at most', 100),
      must(add(ref(0), ref(1)), 'at least', 15),
      must(ref(0), 'at most', 9),
      must(ref(1), 'at most', 5),
    ]
    expect(narrow(opened([lever('x', 0, 10), lever('y', 0, 10)], targets)).empty).toEqual({ targets: [1, 2, 3] })
  })
  test('a fact alone may break one', () => {
    expect(narrow(opened([fact('a', 3)], [must(ref(0), 'at least', 2), must(ref(0), 'at least', 5)])).empty).toEqual({
      targets: [1],
    })
    expect(narrow(opened([fact('a', 3)], [must({ op: 'sqrt', a: sub(ref(0), num(4)) }, 'at least', 0)])).empty).toEqual(
      { targets: [0] },
    )
  })
  test('a flown figure never contradicts, but for what is known of it without a flight', () => {
    const flights = [flight('hop', { propellantMass: ref(0) })]
    const quantities = [lever('x', 50, 100), flown('apoapsis', 0), flown('max q', 0)]
    expect(narrow(opened(quantities, [must(ref(1), 'at least', 1e9)], { flights })).empty).toBeNull()
    expect(narrow(opened(quantities, [must(ref(2), 'at most', -5)], { flights })).empty).toEqual({ targets: [0] })
  })
  test('because of the steps, and that is told', () => {
    const state = opened(
      [lever('x', 0, 10, steps(0, 10, 1))],
      [must(ref(0), 'at least', 3.2), must(ref(0), 'at most', 3.8)],
    )
    expect(prove(state)).toMatchObject({ contradiction: [0, 1], steps: true })
    const plain = opened(
      [lever('x', 0, 10, steps(0, 10, 1))],
      [must(ref(0), 'at least', 8), must(ref(0), 'at most', 3)],
    )
    expect(prove(plain)).toMatchObject({ contradiction: [0, 1], steps: false })
  })
  test('three linear musts that any two of them allow', () => {
    const [x, y] = [ref(0), ref(1)]
    const targets = [
      must(add(x, y), 'at least', 10),
      must(sub(mul(num(2), x), y), 'at most', 2),
      must(sub(mul(num(2), y), x), 'at most', 2),
    ]
    const state = opened([lever('x', 0, 1000), lever('y', 0, 1000)], targets)
    expect(prove(state).contradiction).toEqual([0, 1, 2])
    for (const without of [0, 1, 2]) {
      expect(
        prove(
          opened(
            [lever('x', 0, 1000), lever('y', 0, 1000)],
            targets.filter((_, t) => t !== without),
          ),
        ).contradiction,
      ).toBeNull()
    }
  })
})

describe('linear reasoning', () => {
  test('sees a lever that stands twice in one must', () => {
    // 3x − 2x + y ≥ 12: intervals alone come nearer by ever smaller steps.
    const value = add(sub(mul(num(3), ref(0)), mul(num(2), ref(0))), ref(1))
    const state = opened([lever('x', 0, 10), lever('y', 0, 5)], [must(value, 'at least', 12)])
    expect(narrow(state).low[0]).toBeLessThan(6.99)
    expect(prove(state).low[0]).toBeCloseTo(7, 5)
  })
  test('sees through a quotient of sums', () => {
    // (100 x)/(10 + x + y) ≥ 50 means 50 x ≥ 500 + 50 y.
    const value = div(mul(num(100), ref(0)), add(num(10), add(ref(0), ref(1))))
    const state = opened([lever('x', 0, 20), lever('y', 0, 20)], [must(value, 'at least', 50)])
    const proof = prove(state)
    expect([proof.low[0], proof.high[1]]).toEqual([about(10), about(10)])
  })
})
