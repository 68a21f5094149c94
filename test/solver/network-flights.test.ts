import { expect, test } from 'vitest'
import { compile, outputSlot, start, whyNone } from '../../solver/network/index.ts'
import {
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

const none = new Float64Array(0)
const at = (...x: number[]) => Float64Array.from(x)
const tight = { accuracy: 'tight', slopes: true, scope: 'all' } as const

/** Levers fuel and cap, a figure, the three flown ones, one after them, and a second flight that no target reads. */
function hops() {
  const log: string[] = []
  const quantities = [
    lever('fuel', 0.3, 1),
    lever('cap', 0.3, 1),
    fact('full load', 300),
    figure('propellant', mul(ref(0), ref(2))),
    flown('apoapsis', 0),
    flown('apoapsis of spare', 1, 'apoapsis'),
    figure('half', div(ref(4), num(2))),
    figure('room', sub(num(1), ref(1))),
  ]
  const flights = [
    flight('hop', { propellantMass: ref(3), throttleCap: ref(1) }),
    flight('spare', { dryMass: num(100), propellantMass: { op: 'max', a: ref(3), b: num(200) } }),
  ]
  const target = { level: 'must', value: ref(6), limit: { kind: 'at least', value: num(1000) } } as const
  const program = compile(model(quantities, { flights, targets: [target] }), closedParts(log))
  return { log, program, state: start(program) }
}

test('a flight is flown once for what it is given, and again when that, its accuracy or the wish for slopes changes', () => {
  const { log, state } = hops()
  const fly = (x: Float64Array, accuracy: 'loose' | 'tight', slopes: boolean) => {
    log.length = 0
    state.evaluate(x, { accuracy, slopes, scope: 'wanted' })
    return [...log, state.work]
  }
  expect(fly(at(0.5, 0.6), 'tight', true)).toEqual(['hop tight 2', 1.9])
  expect(fly(at(0.5, 0.6), 'tight', false)).toEqual([0])
  expect(fly(at(0.5, 0.6), 'loose', false)).toEqual(['hop loose 0', 1])
  expect(fly(at(0.5, 0.6), 'loose', true)).toEqual(['hop loose 2', 1.9])
  expect(fly(at(0.5, 0.7), 'loose', true)).toEqual(['hop loose 2', 1.9])
  state.forget()
  expect(fly(at(0.5, 0.7), 'loose', true)).toEqual(['hop loose 2', 1.9])
})

test('slopes that change while the values stand make a flight’s figures change theirs', () => {
  // 12·15 = 15·12: the propellant is the same, what each lever does to it is not.
  const quantities = [lever('a', 0, 20), lever('b', 0, 20), figure('fuel', mul(ref(0), ref(1))), flown('apoapsis', 0)]
  const flights = [flight('hop', { propellantMass: ref(2) })]
  const state = start(compile(model(quantities, { flights }), closedParts()))
  state.evaluate(at(12, 15), tight)
  const [value, [byA, byB]] = [state.valueOf(3), state.slopesOf(3)]
  state.evaluate(at(15, 12), tight)
  expect(state.valueOf(3)).toBe(value)
  expect([...state.slopesOf(3)]).toEqual([byB, byA])
  expect(byA! / byB!).toBeCloseTo(15 / 12, 12)
})

test('only flights that a target or an aim reads are flown for the search, each with its own lanes', () => {
  const { log, program, state } = hops()
  expect(program.flights.map(it => [it.wanted, it.levers])).toEqual(
    program.flights.map(it => (it.wanted ? [true, [0, 1]] : [false, [1]])),
  )
  state.evaluate(at(0.5, 0.6), { accuracy: 'medium', slopes: true, scope: 'wanted' })
  expect(log).toEqual(['hop medium 2'])
  expect(whyNone(state, 5)).toMatchObject({ kind: 'not flown', flight: 1, output: 'apoapsis' })
  state.evaluate(at(0.5, 0.6), { accuracy: 'medium', slopes: true, scope: 'all' })
  expect(log).toEqual(['hop medium 2', 'spare medium 1'])
  expect(state.valueOf(5)).toBeGreaterThan(0)
})

test('the algebra is worked out without a flight, and what follows flights has no value then', () => {
  const { log, state } = hops()
  state.evaluateAlgebra(at(0.5, 0.6), true)
  expect(log).toEqual([])
  expect([state.valueOf(3), state.valueOf(7)]).toEqual([180, 0.5])
  expect(whyNone(state, 6)).toMatchObject({ kind: 'not flown', id: 4, flight: 0 })
  expect(state.lifts()).toBe(true)
  state.evaluateAlgebra(at(0.01, 0.6))
  expect(state.lifts()).toBe(false)
})

test('a figure that the flight has not is told as the flight’s', () => {
  const { state } = hops()
  state.setFact(2, 0.5)
  state.evaluate(at(0.5, 0.6), tight)
  expect(whyNone(state, 6)).toEqual({ kind: 'the flight has none', id: 4, flight: 0, output: 'apoapsis' })
  expect(state.outcome(0)).toBe('comes down')
})

test('a flight is not flown with an input that has no value, and the input is named', () => {
  const log: string[] = []
  const quantities = [lever('x', -1, 1), figure('propellant', { op: 'sqrt', a: ref(0) }), flown('apoapsis', 0)]
  const state = start(
    compile(model(quantities, { flights: [flight('hop', { propellantMass: ref(1) })] }), closedParts(log)),
  )
  state.evaluate(at(-1), tight)
  expect(log).toEqual([])
  expect(whyNone(state, 2)).toEqual({ kind: 'root of a negative number', id: 1 })
  expect(state.outcome(0)).toBeNull()
})

test('an infinite apoapsis goes on through what reads it', () => {
  const quantities = [
    lever('speed', 1, 1e5),
    flown('apoapsis', 0),
    figure('twice', mul(num(2), ref(1))),
    figure('nothing', sub(ref(1), ref(1))),
  ]
  const state = start(compile(model(quantities, { flights: [flight('hop', { exhaustSpeed: ref(0) })] }), closedParts()))
  state.evaluate(at(5e4), tight)
  expect([state.valueOf(1), state.valueOf(2)]).toEqual([Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY])
  expect(whyNone(state, 3)).toEqual({ kind: 'infinite minus infinite', id: 3 })
})

test('slopes by what a flight takes as fixed are found by differences', () => {
  const quantities = [lever('site', 0, 3000), lever('fuel', 50, 300), flown('apoapsis', 0), flown('peak g', 0)]
  const flights = [flight('hop', { propellantMass: ref(1) }, ref(0))]
  const state = start(compile(model(quantities, { flights }), closedParts()))
  state.evaluate(at(200, 1000), tight)
  expect(state.slopesOf(2)[1]).toBeCloseTo(1, 6)
  expect(state.slopesOf(3)[1]).toBe(0)
  expect(state.work).toBeCloseTo(1.9 + 2, 12)
})

test('outputs that no quantity stands for have slots too, and further expressions are worked out along', () => {
  const { program } = hops()
  expect(outputSlot(program, 0, 'max q')).toBeGreaterThan(program.flown)
  expect(() => outputSlot(program, 0, 'nonsense')).toThrow('nonsense')
  const more = start(compile(model([fact('a', 3)]), closedParts(), [mul(ref(0), ref(0))]))
  more.evaluateAlgebra(none)
  expect(more.values[more.program.extras[0]!]).toBe(9)
})
