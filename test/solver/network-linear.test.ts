import { describe, expect, test } from 'vitest'
import { openLinear } from '../../solver/linear/index.ts'
import type { Expr } from '../../solver/model/expr.ts'
import type { Level, Model, Quantity, Target } from '../../solver/model/model.ts'
import {
  compile,
  draggable,
  linearPart,
  linearThroughout,
  type State,
  solveLevels,
  start,
} from '../../solver/network/index.ts'
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
  range,
  ref,
  sub,
} from '../support/closed-flight.ts'

const target = (level: Level, value: Expr, kind: 'at least' | 'at most', limit: number): Target => ({
  level,
  value,
  limit: { kind, value: num(limit) },
})
const about = (x: number) => expect.closeTo(x, 5)

function opened(quantities: readonly Quantity[], rest: Partial<Model> = {}): State {
  return start(compile(model(quantities, rest), closedParts()))
}

const rangesOf = (state: State) =>
  [...state.free].map(l => {
    const quantity = state.program.model.quantities[state.program.levers[l]!]!
    return quantity.role === 'lever' ? quantity.range : range(0, 0)
  })
const partOf = (state: State) => linearPart(state, rangesOf(state))
const solved = (state: State) => solveLevels(state.program, partOf(state), rangesOf(state))

// Two tanks share a frame: masses in kg, prices in thousands.
const tanks = [
  lever('fuel', 0, 100),
  lever('oxidiser', 0, 300),
  fact('dry', 50),
  figure('mass', add(ref(2), add(ref(0), ref(1)))),
  figure('mix', sub(ref(1), mul(num(2), ref(0)))),
]

describe('what is linear', () => {
  test('is found through facts, constant factors, decided branches and tables without a bend', () => {
    const quantities = [
      lever('x', 1, 10),
      fact('k', 4),
      figure('f', div(mul(ref(1), sub(ref(0), num(2))), num(8))),
      figure('g', { op: 'max', a: ref(0), b: num(-5) }),
      figure('h', {
        op: 'if',
        test: { op: 'gt', a: ref(1), b: num(3) },
        yes: { op: 'neg', a: ref(0) },
        no: mul(ref(0), ref(0)),
      }),
      figure('square', mul(ref(0), ref(0))),
      figure('inverse', div(num(1), ref(0))),
    ]
    const state = opened(quantities)
    const { quantities: forms } = partOf(state)
    expect(forms[2]).toEqual({ at: [0], by: [about(0.5)], offset: about(-1) })
    expect(forms[3]).toEqual({ at: [0], by: [about(1)], offset: about(0) })
    expect(forms[4]).toEqual({ at: [0], by: [about(-1)], offset: about(0) })
    expect([forms[5], forms[6]]).toEqual([null, null])
    state.setFact(1, 2)
    expect(partOf(state).quantities[4]).toBeNull()
  })
  test('is not what a flight gives, and a pinned lever is a number', () => {
    const flights = [flight('hop', { propellantMass: ref(0) })]
    const state = opened(
      [lever('x', 50, 100), lever('y', 0, 1), flown('apoapsis', 0), figure('p', mul(ref(0), ref(1)))],
      { flights },
    )
    expect(partOf(state).quantities.slice(2)).toEqual([null, null])
    state.pin(1, 0.5)
    expect(partOf(state).quantities[3]).toEqual({ at: [0], by: [about(0.5)], offset: about(0) })
  })
})

describe('a sheet linear throughout', () => {
  test('is solved level by level', () => {
    const targets = [
      target('must', ref(3), 'at most', 250),
      target('must', ref(4), 'at least', 10),
      target('should', ref(0), 'at least', 80),
      target('could', ref(1), 'at least', 200),
    ]
    const state = opened(tanks, { targets, aims: [{ sense: 'most', value: ref(3) }] })
    // 80 kg of fuel would need 170 kg of oxidiser, and 250 − 50 are left: at most (200 − 10)/3 of fuel.
    const answer = solved(state)
    expect(answer).toEqual({ outcome: 'solved', x: expect.anything() })
    if (answer.outcome === 'solved') expect([...answer.x]).toEqual([about(190 / 3), about(200 - 190 / 3)])
  })
  test('gives the roomiest point where nothing else decides', () => {
    const quantities = [lever('x', 0, 10)]
    const state = opened(quantities, {
      targets: [target('must', ref(0), 'at least', 2), target('must', ref(0), 'at most', 6)],
    })
    // Margins (x − 2)/2 and (6 − x)/6 are even at 3.
    const answer = solved(state)
    expect(answer.outcome === 'solved' && answer.x[0]).toBeCloseTo(3, 5)
  })
  test('names the musts that clash', () => {
    const targets = [
      target('must', ref(0), 'at least', 1),
      target('must', ref(3), 'at most', 100),
      target('must', ref(1), 'at least', 80),
    ]
    expect(solved(opened(tanks, { targets }))).toEqual({ outcome: 'conflict', targets: [1, 2] })
  })
  test('is told from one that is not', () => {
    const band: Target = {
      level: 'should',
      value: ref(0),
      limit: { kind: 'equal to', value: num(3), tolerance: num(1) },
    }
    const bent = opened(tanks, { targets: [target('must', mul(ref(0), ref(1)), 'at most', 5)] })
    expect(linearThroughout(bent.program, partOf(bent))).toBe(false)
    expect(solved(bent)).toEqual({ outcome: 'unsure' })
    const squared = opened(tanks, { targets: [band] })
    expect(linearThroughout(squared.program, partOf(squared))).toBe(false)
    const must = opened(tanks, { targets: [{ ...band, level: 'must' }] })
    expect(solved(must).outcome).toBe('solved')
  })
})

test('a linear sheet is dragged by its levers and by its figures, its musts held', () => {
  const state = opened(tanks, { targets: [target('must', ref(3), 'at most', 250)] })
  const { system, ids } = draggable(state, rangesOf(state), partOf(state))
  expect(ids).toEqual([0, 1, 3, 4])
  const session = openLinear(system, Float64Array.of(20, 60, 130, 20))!
  const [fuel, oxidiser, mass, mix] = session.suggest(2, 190)
  expect(mass).toBeCloseTo(190, 4)
  expect(50 + fuel! + oxidiser!).toBeCloseTo(190, 4)
  expect(oxidiser! - 2 * fuel!).toBeCloseTo(mix!, 4)
  expect(session.suggest(2, 400)[2]).toBeCloseTo(250, 4)
  expect(session.suggest(0, 90)[0]).toBeCloseTo(90, 4)
  expect(session.x[2]).toBeLessThanOrEqual(250 + 1e-4)
})
