import fc from 'fast-check'
import { all, create } from 'mathjs'
import { expect, test } from 'vitest'
import type { Expr } from '../../solver/model/expr.ts'
import type { Model, Quantity } from '../../solver/model/model.ts'
import { arrange, compile, start } from '../../solver/network/index.ts'
import { closedParts, fact, figure, lever, model } from '../support/closed-flight.ts'
import { ALL, expressions, mathText, SMOOTH } from '../support/expressions.ts'

// Outside oracle for values and derivatives: mathjs 15.2.0. Comparisons there are made exact, as ours are.
const math = create(all!, { relTol: 1e-300, absTol: 1e-300 })
const levers = [lever('x0', -3, 3), lever('x1', -3, 3), lever('x2', -3, 3)]
const point = fc.tuple(...levers.map(() => fc.integer({ min: -300, max: 300 }).map(n => n / 100 + 0.003)))

/** What mathjs says; null where it has no real finite value on the way. */
function oracle(text: string, x: readonly number[]): number | null {
  try {
    const value: unknown = math.evaluate(text, { x0: x[0], x1: x[1], x2: x[2] })
    return typeof value === 'number' && Number.isFinite(value) ? value : null
  } catch {
    // It compares complex numbers, which have no order.
    return null
  }
}

test('values are those of an independent evaluator', () => {
  let compared = 0
  fc.assert(
    fc.property(expressions(3, ALL), point, (expr, x) => {
      const state = start(compile(model([...levers, figure('f', expr)]), closedParts()))
      state.evaluateAlgebra(Float64Array.from(x))
      const own = state.valueOf(3)
      if (Number.isNaN(own)) return
      const other = oracle(mathText(expr), x)
      // mathjs goes through complex and infinite numbers where a sheet has no value.
      if (other === null) return
      compared++
      expect(Math.abs(own - other)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(other)))
    }),
    { numRuns: 1500 },
  )
  expect(compared).toBeGreaterThan(500)
})

test('slopes are those of symbolic differentiation', () => {
  let compared = 0
  fc.assert(
    fc.property(expressions(3, SMOOTH, 3), point, (expr, x) => {
      const state = start(compile(model([...levers, figure('f', expr)]), closedParts()))
      state.evaluateAlgebra(Float64Array.from(x), true)
      const value = state.valueOf(3)
      if (Number.isNaN(value) || Math.abs(value) > 1e6 || state.slopes.steep !== -1) return
      const slopes = state.slopesOf(3)
      for (let l = 0; l < 3; l++) {
        const other = oracle(math.derivative(mathText(expr), `x${l}`, { simplify: false }).toString(), x)
        if (other === null || Math.abs(other) > 1e9) continue
        compared++
        expect(Math.abs(slopes[l]! - other)).toBeLessThanOrEqual(1e-8 * Math.max(1, Math.abs(other), Math.abs(value)))
      }
    }),
    { numRuns: 600 },
  )
  expect(compared).toBeGreaterThan(500)
})

/** The same model with its quantities written in another order. */
function shuffled(from: Model, order: readonly number[]): Model {
  const place = new Map(order.map((id, at) => [id, at]))
  const moved = (expr: Expr): Expr =>
    JSON.parse(JSON.stringify(expr), (_, value: Expr) =>
      value !== null && typeof value === 'object' && value.op === 'ref'
        ? { op: 'ref', id: place.get(value.id)! }
        : value,
    )
  return model(
    order.map((id): Quantity => {
      const quantity = from.quantities[id]!
      return quantity.role === 'figure' || quantity.role === 'fact'
        ? { ...quantity, value: moved(quantity.value) }
        : quantity
    }),
    { targets: from.targets.map(it => ({ ...it, value: moved(it.value) })) },
  )
}

const sheets = fc
  .array(fc.tuple(fc.boolean(), fc.integer({ min: 0, max: 1000 }), fc.integer({ min: 0, max: 1000 })), {
    minLength: 1,
    maxLength: 30,
  })
  .map(rows => {
    const quantities: Quantity[] = [lever('b'), lever('a'), fact('c', 2.5)]
    for (const [product, i, j] of rows) {
      const [a, b] = [i, j].map((n): Expr => ({ op: 'ref', id: n % quantities.length }))
      quantities.push(figure(`q${quantities.length}`, { op: product ? 'mul' : 'add', a: a!, b: b! }))
    }
    return model(quantities, {
      targets: [
        {
          level: 'must',
          value: { op: 'ref', id: quantities.length - 1 },
          limit: { kind: 'equal to', value: { op: 'const', value: 1 }, tolerance: null },
        },
      ],
    })
  })

test('the order in which a sheet is written changes neither numbers nor structure', () => {
  fc.assert(
    fc.property(sheets, fc.infiniteStream(fc.nat()), (sheet, keys) => {
      const count = sheet.quantities.length
      const ranks = Array.from({ length: count }, () => keys.next().value ?? 0)
      const order = [...Array(count).keys()].sort((a, b) => ranks[a]! - ranks[b]! || a - b)
      const other = shuffled(sheet, order)
      const [one, two] = [sheet, other].map(it => {
        const state = start(compile(it, closedParts()))
        state.evaluateAlgebra(Float64Array.of(0.7, 1.3), true)
        const named = it.quantities.map(({ name }, id) => [name, state.valueOf(id), ...state.slopesOf(id)] as const)
        const found = arrange(it)
        const name = (id: number | null) => (id === null ? null : it.quantities[id]!.name)
        return {
          named: named.sort((a, b) => (a[0] < b[0] ? -1 : 1)),
          idle: found.idle.map(name),
          pairs: found.equalities.map(({ lever }) => name(lever)),
          over: found.overdetermined.map(group => group.quantities.map(name).sort()),
        }
      })
      expect(two).toEqual(one)
    }),
    { numRuns: 200 },
  )
})
