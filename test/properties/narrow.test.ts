import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Expr } from '../../solver/model/expr.ts'
import type { Model, Quantity, Target } from '../../solver/model/model.ts'
import { compile, type Narrowed, narrow, type State, start } from '../../solver/network/index.ts'
import { closedParts, fact, figure, lever, model, num, ref } from '../support/closed-flight.ts'
import { ALL, expressions } from '../support/expressions.ts'
import { meetsAll } from '../support/margins.ts'

const steps = Float64Array.from({ length: 41 }, (_, k) => -2 + k / 10)
const levers: Quantity[] = [lever('a', -2, 2), lever('b', -2, 2, steps)]
const SIDE = 40

interface Sheet {
  readonly model: Model
  /** A point that meets the musts, where one was built in. */
  readonly known: readonly [number, number] | null
}

/**
 * Figures over two levers, each over those before it, and musts on them whose limits are set by the figure's value at a point, mostly
 * so that the point meets them; sometimes a little off, so that nothing may.
 */
const sheets: fc.Arbitrary<Sheet> = fc
  .tuple(
    fc.array(expressions(2, ALL, 3), { minLength: 1, maxLength: 3 }),
    fc.array(expressions(4, ALL, 2), { minLength: 0, maxLength: 2 }),
    fc.tuple(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 40 })),
    fc.array(
      fc.tuple(
        fc.constantFrom('at least', 'at most', 'within', 'equal to', 'equal within', 'limit'),
        fc.nat(),
        fc.nat(8),
      ),
      {
        minLength: 1,
        maxLength: 3,
      },
    ),
  )
  .map(([first, second, [i, k], wishes]) => {
    const quantities = [...levers, fact('c', 1.25)]
    for (const expr of first) quantities.push(figure(`f${quantities.length}`, expr))
    for (const expr of second) quantities.push(figure(`f${quantities.length}`, expr))
    const point = [-2 + i / 100, steps[k]!] as const
    const state = start(compile(model(quantities), closedParts()))
    state.evaluateAlgebra(Float64Array.from(point))
    let known = true
    const targets: Target[] = wishes.map(([kind, pick, off]) => {
      const id = 3 + (pick % (quantities.length - 3))
      const at = state.valueOf(id)
      if (!Number.isFinite(at)) known = false
      const middle = Number.isFinite(at) ? at : 0
      // 0, 1: the point itself is just the limit; above 5: the point does not meet it.
      const slack = off > 5 ? -0.1 * off : 0.1 * off
      if (slack < 0) known = false
      return must(ref(id), kind, middle, slack)
    })
    return { model: model(quantities, { targets }), known: known ? point : null }
  })

function must(value: Expr, kind: string, x: number, slack: number): Target {
  const level = 'must'
  switch (kind) {
    case 'at least':
      return { level, value, limit: { kind, value: num(x - slack) } }
    case 'at most':
      return { level, value, limit: { kind, value: num(x + slack) } }
    case 'within':
      return { level, value, limit: { kind, from: num(x - slack), to: num(x - slack + 2 * Math.abs(slack) + 0.01) } }
    case 'equal within':
      return {
        level,
        value,
        limit: { kind: 'equal to', value: num(x - slack / 2), tolerance: num(Math.abs(slack) / 2 + 0.01) },
      }
    case 'limit':
      // A limit that moves with a lever.
      return {
        level,
        value: { op: 'add', a: value, b: ref(0) },
        limit: { kind: 'at most', value: { op: 'add', a: ref(0), b: num(x + slack) } },
      }
    default:
      return { level, value, limit: { kind: 'equal to', value: num(slack < 0 ? x - slack : x), tolerance: null } }
  }
}

function* grid(known: Sheet['known']): Generator<Float64Array> {
  if (known) yield Float64Array.from(known)
  for (let i = 0; i <= SIDE; i++) for (const b of steps) yield Float64Array.of(-2 + (4 * i) / SIDE, b)
}

function feasible(state: State, scales: Float64Array, known: Sheet['known']): Float64Array[] {
  const musts = [...state.program.targets.keys()]
  return [...grid(known)].filter(x => {
    state.evaluateAlgebra(x)
    return meetsAll(state, musts, scales)
  })
}

/** What of a point, and of the quantities there, lies outside the narrowed intervals. */
function outside(state: State, { low, high, quantities: told }: Narrowed, x: Float64Array): string[] {
  const found: string[] = []
  x.forEach((value, l) => {
    if (!(low[l]! <= value && value <= high[l]!)) found.push(`lever ${l} at ${value}, not ${low[l]} to ${high[l]}`)
  })
  state.evaluateAlgebra(x)
  const quantities = told()
  for (let id = 0; id < quantities.low.length; id++) {
    const value = state.valueOf(id)
    if (value < quantities.low[id]! || value > quantities.high[id]!) found.push(`quantity ${id}: ${value} at ${[...x]}`)
  }
  return found
}

test('no point that meets the musts is ever cut off, and "empty" is said only where there is none', () => {
  const counts = { empty: 0, narrowed: 0, open: 0 }
  fc.assert(
    fc.property(sheets, ({ model: sheet, known }) => {
      const state = start(compile(sheet, closedParts()))
      const result = narrow(state)
      const points = feasible(state, result.scales, known)
      if (result.empty) {
        counts.empty++
        expect(points).toEqual([])
        return
      }
      if (result.low[0]! > -2 || result.high[0]! < 2 || result.low[1]! > -2 || result.high[1]! < 2) counts.narrowed++
      else counts.open++
      // One expectation a sheet: they are slow, and there are thousands of points.
      const lost = points.flatMap(x => outside(state, result, x))
      expect(lost).toEqual([])
    }),
    { numRuns: 800 },
  )
  expect(Math.min(counts.empty, counts.narrowed, counts.open)).toBeGreaterThan(10)
})

test('the musts blamed for an empty box empty it by themselves, and none is superfluous', () => {
  fc.assert(
    fc.property(sheets, ({ model: sheet }) => {
      const state = start(compile(sheet, closedParts()))
      const { empty } = narrow(state)
      if (!empty) return
      expect(narrow(state, { musts: empty.targets }).empty).not.toBeNull()
      for (const one of empty.targets) {
        expect(narrow(state, { musts: empty.targets.filter(t => t !== one) }).empty).toBeNull()
      }
    }),
    { numRuns: 400 },
  )
})

test('narrowing a narrowed box only narrows it', () => {
  fc.assert(
    fc.property(sheets, ({ model: sheet }) => {
      const state = start(compile(sheet, closedParts()))
      const once = narrow(state)
      if (once.empty) return
      const { low, high, empty } = narrow(state, once)
      if (empty) return
      for (let l = 0; l < 2; l++) expect(low[l]! >= once.low[l]! && high[l]! <= once.high[l]!).toBe(true)
    }),
    { numRuns: 300 },
  )
})
