import { expect, test } from 'vitest'
import type { Expr } from '../../solver/model/expr.ts'
import type { Quantity, Target } from '../../solver/model/model.ts'
import { arrange, compile, factsOf, leversOf, start } from '../../solver/network/index.ts'
import { add, closedParts, fact, figure, flight, flown, lever, model, mul, num, ref } from '../support/closed-flight.ts'

const names = (quantities: readonly Quantity[], ids: readonly number[]) => ids.map(id => quantities[id]!.name)
const equal = (value: Expr, to = 1): Target => ({
  level: 'must',
  value,
  limit: { kind: 'equal to', value: num(to), tolerance: null },
})

/** x0 fact, x(i) = x(i−1) + 1, written last first. */
function chain(length: number): Quantity[] {
  const at = (i: number) => length - i
  const all: Quantity[] = []
  for (let i = length; i > 0; i--) all.push(figure(`x${i}`, add(ref(at(i - 1)), num(1))))
  return [...all, fact('x0', 5)]
}

test('a chain of 100,000 figures written backwards is worked out without running out of stack', () => {
  const sheet = model(chain(100_000))
  const state = start(compile(sheet, closedParts()))
  state.evaluateAlgebra(new Float64Array(0))
  expect(state.valueOf(0)).toBe(100_005)
  state.setFact(100_000, 7)
  state.evaluateAlgebra(new Float64Array(0))
  expect(state.valueOf(0)).toBe(100_007)
})

test('a circle is told from its first name on, in the order in which its figures read one another', () => {
  const quantities = [
    figure('c', ref(1)),
    figure('a', ref(2)),
    figure('b', add(ref(0), ref(3))),
    fact('d', 1),
    figure('e', ref(0)),
  ]
  expect(arrange(model(quantities)).circles.map(circle => names(quantities, circle.quantities))).toEqual([
    ['a', 'b', 'c'],
  ])
})

test('a figure that reads itself is a circle of one', () => {
  expect(arrange(model([figure('a', add(ref(0), num(1)))])).circles).toEqual([{ quantities: [0], flights: [] }])
})

test('two knots give two circles, a ring of 100,000 one', () => {
  const two = [figure('a', ref(1)), figure('b', ref(0)), figure('z', ref(3)), figure('y', ref(2))]
  expect(arrange(model(two)).circles.map(circle => names(two, circle.quantities))).toEqual([
    ['a', 'b'],
    ['y', 'z'],
  ])
  const ring = Array.from({ length: 100_000 }, (_, i) => figure(`r${i}`, ref((i + 1) % 100_000)))
  expect(arrange(model(ring)).circles[0]!.quantities).toHaveLength(100_000)
})

test('a flight fed by its own figure is a circle that names the flight', () => {
  const quantities = [flown('apoapsis', 0), figure('propellant', mul(ref(0), num(0.001)))]
  const sheet = model(quantities, { flights: [flight('hop', { propellantMass: ref(1) })] })
  const [circle] = arrange(sheet).circles
  expect(circle).toEqual({ quantities: [0, 1], flights: [0] })
  expect(() => compile(sheet, closedParts())).toThrow('circles')
})

test('what a quantity hangs on is known through figures, flights and a body of the air', () => {
  const quantities = [
    lever('b'),
    lever('a'),
    fact('surface', 1000),
    flown('apoapsis', 0),
    figure('half', mul(ref(3), num(0.5))),
    figure('plain', mul(ref(2), num(2))),
  ]
  const own = { kind: 'own', radius: num(1e6), gravity: ref(1), air: null, space: null } as const
  const sheet = model(quantities, {
    bodies: [own],
    flights: [{ ...flight('hop', { propellantMass: mul(ref(0), ref(2)) }), body: 0 }],
  })
  const found = arrange(sheet)
  expect(names(quantities, found.levers)).toEqual(['a', 'b'])
  expect(leversOf(found, 4)).toEqual([0, 1])
  expect(leversOf(found, 5)).toEqual([])
  expect(names(quantities, factsOf(sheet, found, 4))).toEqual(['surface'])
})

test('forty levers are told apart', () => {
  const levers = Array.from({ length: 40 }, (_, i) => lever(`l${String(i).padStart(2, '0')}`))
  const found = arrange(model([...levers, figure('f', add(ref(3), ref(37)))]))
  expect(leversOf(found, 40)).toEqual([3, 37])
})

test('levers that no target reads are told, apart from those that only an aim reads', () => {
  const quantities = [lever('a'), lever('b'), lever('c'), figure('f', ref(2))]
  const found = arrange(
    model(quantities, {
      targets: [{ level: 'should', value: num(1), limit: { kind: 'at most', value: ref(3) } }],
      aims: [
        { sense: 'least', value: ref(1) },
        { sense: 'roomiest', value: null },
      ],
    }),
  )
  expect(names(quantities, found.idle)).toEqual(['a'])
  expect(names(quantities, found.untested)).toEqual(['b'])
})

test('an exact target is answered by a lever through the figures between them', () => {
  const quantities = [lever('a'), lever('b'), figure('f', add(ref(0), num(1))), figure('g', add(ref(2), ref(1)))]
  const found = arrange(model(quantities, { targets: [equal(ref(3)), equal(ref(2))] }))
  expect(found.equalities.map(it => [it.target, quantities[it.lever!]!.name]).sort()).toEqual([
    [0, 'b'],
    [1, 'a'],
  ])
  expect(found.overdetermined).toEqual([])
})

test('more exact targets than the quantities they share are told as one group', () => {
  const quantities = [lever('a'), lever('b'), figure('f', add(ref(0), num(1)))]
  const found = arrange(model(quantities, { targets: [equal(ref(2)), equal(ref(1)), equal(ref(2), 3), equal(num(1))] }))
  expect(found.equalities.filter(it => it.lever === null)).toHaveLength(2)
  expect(found.overdetermined).toContainEqual({ targets: [0, 2], quantities: [2] })
  expect(found.overdetermined).toContainEqual({ targets: [3], quantities: [] })
})

test('two exact targets on two figures of one flight are answered by its two levers', () => {
  const quantities = [lever('fuel'), lever('cap'), flown('apoapsis', 0), flown('peak g', 0)]
  const flights = [flight('hop', { propellantMass: ref(0), throttleCap: ref(1) })]
  const found = arrange(model(quantities, { flights, targets: [equal(ref(2)), equal(ref(3))] }))
  expect(new Set(found.equalities.map(it => it.lever))).toEqual(new Set([0, 1]))
})
