import fc from 'fast-check'
import { expect, test } from 'vitest'
import { compile, partsOf, prove, start } from '../../solver/index.ts'
import type { AirProperty, Expr } from '../../solver/model/expr.ts'
import type { BodyModel } from '../../solver/model/model.ts'
import { lever, model, num, ref } from '../support/closed-flight.ts'

const PROPERTIES: readonly AirProperty[] = ['pressure', 'density', 'temperature', 'sound speed', 'gravity']
const LOOKS = 60

const size = (min: number, max: number) => fc.double({ min, max, noNaN: true })

/** Air by rows as a table may have them: not always falling. */
const rows = fc
  .array(fc.tuple(size(1e-3, 2), size(100, 400), size(1, 1e5)), { minLength: 2, maxLength: 6 })
  .map(air => ({
    altitude: Float64Array.from(air, (_, k) => 8000 * k),
    density: Float64Array.from(air, ([density]) => density),
    temperature: Float64Array.from(air, ([, temperature]) => temperature),
    pressure: Float64Array.from(air, ([, , pressure]) => pressure),
  }))

/** The second lever may be any number of a body of the sheet's own, also one that makes no body. */
const bodies: fc.Arbitrary<BodyModel> = fc.oneof(
  fc.constantFrom<BodyModel>({ kind: 'earth' }, { kind: 'moon' }, { kind: 'mars' }),
  fc.constantFrom(-300, -150, 25).map((warmth): BodyModel => ({ kind: 'earth', warmth: num(warmth) })),
  rows.map((table): BodyModel => ({ kind: 'own', radius: num(4e5), gravity: num(1.6), air: null, space: null, table })),
  fc
    .record({ place: fc.nat(7), numbers: fc.tuple(...[4e5, 2, 1e4, 1, 8000, 300, 5e4].map(n => size(0.5 * n, n))) })
    .map(({ place, numbers }): BodyModel => {
      const [radius, gravity, pressure, density, scaleHeight, soundSpeed, top] = numbers.map(
        (value, k): Expr => (k === place ? ref(1) : num(value)),
      ) as [Expr, Expr, Expr, Expr, Expr, Expr, Expr]
      return { kind: 'own', radius, gravity, air: { pressure, density, scaleHeight, soundSpeed, top }, space: null }
    }),
)

/** Near places where something turns as well as anywhere. */
const altitudes = fc.tuple(
  fc.oneof(size(-6000, 2e5), fc.constantFrom(0, 7000, 8000, 11019, 80000, 86000, 91000, 1e6)),
  fc.oneof(size(0, 3e4), size(0, 2), size(0, 1e6)),
)

test('air and gravity lie within their intervals, whatever the body and however its air goes', () => {
  let looks = 0
  fc.assert(
    fc.property(bodies, altitudes, fc.constantFrom(...PROPERTIES), (body, [start_, width], property) => {
      const [from, to] = [start_ - 0.3 * width, start_ + 0.7 * width + 1e-6]
      const air: Expr = { op: 'air', property, body: 0, a: ref(0) }
      const sheet = {
        ...model([lever('h', from, to), lever('n', -9e3, 9e3), { role: 'figure', name: 'air', value: air }]),
        bodies: [body],
      }
      const state = start(compile(sheet, partsOf(sheet)))
      const quantities = prove(state).quantities()
      const [low, high] = [quantities.low[2]!, quantities.high[2]!]
      for (let k = 0; k <= LOOKS; k++) {
        const x = Float64Array.of(Math.min(to, from + (k / LOOKS) * (to - from)), -9e3 + ((k * 7) % 61) * 300)
        state.evaluateAlgebra(x)
        const value = state.valueOf(2)
        if (Number.isNaN(value)) continue
        looks++
        if (!(value >= low && value <= high)) expect({ property, at: [...x], value }).toEqual({ low, high })
      }
    }),
    { numRuns: 600 },
  )
  expect(looks).toBeGreaterThan(10_000)
})
