import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { LinearSystem } from '../../solver/linear/index.ts'
import type { Expr } from '../../solver/model/expr.ts'
import type { Model, Quantity, Target } from '../../solver/model/model.ts'
import { compile, prove, start } from '../../solver/network/index.ts'
import { add, closedParts, div, figure, lever, model, mul, num, ref } from '../support/closed-flight.ts'
import { askHighs } from '../support/highs.ts'
import { meetsAll } from '../support/margins.ts'

const numbers = fc.infiniteStream(fc.integer({ min: -100, max: 100 }))
const levers: Quantity[] = [lever('a', 0, 2), lever('b', -1, 1), lever('c', 1, 3)]
const SIDE = 8

/** c0 + c1 a + c2 b + c3 c, written as a sheet would. */
function sum(c: readonly number[]): Expr {
  return [0, 1, 2].reduce<Expr>((expr, l) => add(expr, mul(num(c[l + 1]!), ref(l))), num(c[0]!))
}

const must = (value: Expr, kind: 'at least' | 'at most', limit: number): Target => ({
  level: 'must',
  value,
  limit: { kind, value: num(limit) },
})

/** Sums, products of two sums and quotients, kept from zero, with limits about their value at a point. */
const mixed: fc.Arbitrary<{ sheet: Model; known: Float64Array | null }> = fc
  .tuple(
    fc.array(
      fc.tuple(fc.constantFrom('sum', 'product', 'quotient', 'square'), fc.boolean(), fc.integer({ min: -3, max: 10 })),
      { minLength: 2, maxLength: 5 },
    ),
    numbers,
  )
  .map(([wishes, stream]) => {
    const next = () => (stream.next().value ?? 0) / 100
    const four = () => [next(), next(), next(), next()]
    const point = Float64Array.of(1 + next(), next(), 2 + next())
    const figures = wishes.map(([kind]): Expr => {
      if (kind === 'sum') return sum(four())
      if (kind === 'product') return mul(sum(four()), sum(four()))
      if (kind === 'square') return { op: 'pow', a: sum(four()), b: num(2) }
      return div(sum(four()), sum([5, ...four().slice(1)]))
    })
    const quantities = [...levers, ...figures.map((expr, k) => figure(`f${k}`, expr))]
    const state = start(compile(model(quantities), closedParts()))
    state.evaluateAlgebra(Float64Array.of(point[0]!, point[1]!, point[2]!))
    const targets = wishes.map(([, up, off], k) => {
      const at = state.valueOf(3 + k)
      return must(ref(3 + k), up ? 'at least' : 'at most', at - ((up ? 1 : -1) * off) / 20)
    })
    return { sheet: model(quantities, { targets }), known: wishes.every(([, , off]) => off >= 0) ? point : null }
  })

test('what linear reasoning cuts off, or calls contradictory, meets the musts nowhere', () => {
  const counts = { contradiction: 0, narrowed: 0 }
  fc.assert(
    fc.property(mixed, ({ sheet, known }) => {
      const state = start(compile(sheet, closedParts()))
      const proof = prove(state)
      if (proof.contradiction) counts.contradiction++
      else if (proof.low[0]! > 0 || proof.high[0]! < 2) counts.narrowed++
      const musts = [...sheet.targets.keys()]
      const points = known ? [known] : []
      for (let i = 0; i <= SIDE; i++) {
        for (let j = 0; j <= SIDE; j++) {
          for (let k = 0; k <= SIDE; k++)
            points.push(Float64Array.of((2 * i) / SIDE, (2 * j) / SIDE - 1, (2 * k) / SIDE + 1))
        }
      }
      const lost = points.filter(x => {
        if (!proof.contradiction && x.every((value, l) => value >= proof.low[l]! && value <= proof.high[l]!))
          return false
        state.evaluateAlgebra(x)
        return meetsAll(state, musts, proof.widths)
      })
      expect(lost).toEqual([])
    }),
    { numRuns: 250 },
  )
  expect(Math.min(counts.contradiction, counts.narrowed)).toBeGreaterThan(10)
})

/** The same musts as a linear program. */
function programOf(rows: readonly (readonly number[])[]): LinearSystem {
  return {
    variables: [
      { low: 0, high: 2, nominal: 1 },
      { low: -1, high: 1, nominal: 1 },
      { low: 1, high: 3, nominal: 1 },
    ],
    rows: rows.map(([limit, ...c]) => ({
      at: [0, 1, 2],
      by: c.slice(1),
      low: limit! - c[0]!,
      high: Number.POSITIVE_INFINITY,
    })),
  }
}

// Source: HiGHS (programs with a margin of 1e-6 either way).
test('a linear sheet is narrowed to exactly what a linear program allows, and contradictions are all found', async () => {
  const ask = await askHighs()
  const counts = { contradiction: 0, tight: 0 }
  const rows = fc.tuple(fc.integer({ min: 2, max: 5 }), numbers).map(([count, stream]) => {
    const next = () => (stream.next().value ?? 0) / 100
    return Array.from({ length: count }, () => [0.7 + next(), next(), next() || 0.5, next() || 0.5, next() || 0.5])
  })
  fc.assert(
    fc.property(rows, all => {
      const targets = all.map(([limit, ...c]) => must(sum(c), 'at least', limit!))
      const proof = prove(start(compile(model(levers, { targets }), closedParts())))
      const ends = [0, 1, 2].flatMap(l => [1, -1].map(sign => ask(programOf(all), { at: [l], by: [sign] })))
      const looser = ask(programOf(all.map(([limit, ...c]) => [limit! - 1e-6, ...c])), { at: [0], by: [1] })
      if (proof.contradiction) {
        counts.contradiction++
        const few = programOf(all.filter((_, t) => proof.contradiction!.includes(t)))
        expect(ask(few, { at: [0], by: [1] }).status).toBe('Infeasible')
        return
      }
      if (ends[0]!.status !== 'Optimal') {
        expect(looser.status).toBe('Optimal')
        return
      }
      counts.tight++
      const own = [0, 1, 2].flatMap(l => [proof.low[l]!, -proof.high[l]!])
      own.forEach((end, k) => {
        expect(Math.abs(end - ends[k]!.value)).toBeLessThan(1e-4)
      })
    }),
    { numRuns: 120 },
  )
  expect(Math.min(counts.contradiction, counts.tight)).toBeGreaterThan(5)
})
