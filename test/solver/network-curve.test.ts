import { expect, test } from 'vitest'
import type { Curve, Expr } from '../../solver/model/expr.ts'
import { compile, constantCurve, type FittedCurve, fitCurve, LAST_ARGUMENT, start } from '../../solver/network/index.ts'
import { add, closedParts, flight, flown, lever, model, mul, ref } from '../support/closed-flight.ts'

/** A fitted curve at x: its value, or the slope of one lane. */
function at({ knots, coefficients, slopes }: FittedCurve, x: number, lane = -1): number {
  let k = 0
  while (k + 1 < knots.length && knots[k + 1]! <= x) k++
  const c = lane === -1 ? coefficients : slopes[lane]!
  const w = x - knots[k]!
  return c[4 * k]! + w * (c[4 * k + 1]! + w * (c[4 * k + 2]! + w * c[4 * k + 3]!))
}

const fitted = (f: (x: number) => number, breaks: number[] = []) =>
  fitCurve(
    (x, out) => {
      out[0] = f(x)
    },
    breaks,
    0,
  )

const places = Array.from({ length: 2000 }, (_, i) => (i * 60.37) / 2000)
const worst = (curve: FittedCurve, f: (x: number) => number) =>
  Math.max(...places.map(x => Math.abs(at(curve, x) - f(Math.min(x, LAST_ARGUMENT))) / Math.max(1, Math.abs(f(x)))))

test('a cubic between breaks is one piece each, with its jumps kept', () => {
  const f = (x: number) => (x < 0.8 ? 0.3 : x < 1.2 ? 0.3 + (x - 0.8) ** 3 - 0.1 * x : 0.6)
  const curve = fitted(f, [1.2, 0.8, 1.2])
  expect([...curve.knots]).toEqual([0, 0.8, 1.2, LAST_ARGUMENT])
  expect([...curve.real]).toEqual([0, 1, 1, 1])
  expect(worst(curve, f)).toBeLessThan(1e-12)
})

test('a smooth function is followed to 1e-9 of its size by divisions that are not real knots', () => {
  const f = (x: number) => 0.2 + 0.4 * Math.exp(-((x - 1) ** 2) * 3) + 0.1 * Math.exp(-x)
  const curve = fitted(f)
  expect(worst(curve, f)).toBeLessThan(1e-9)
  expect(curve.knots.length).toBeLessThan(402)
  expect([...curve.real.slice(0, -1)].every(it => it === 0)).toBe(true)
})

test('a jump and a bend that nobody told are found and made real', () => {
  const f = (x: number) => (x < Math.SQRT2 ? Math.min(0.2 + 0.1 * x, 0.3) : 0.5)
  const curve = fitted(f)
  const real = [...curve.knots].filter((_, k) => curve.real[k] === 1)
  expect(real.some(x => Math.abs(x - 1) < 1e-8)).toBe(true)
  expect(real.some(x => Math.abs(x - Math.SQRT2) < 1e-8)).toBe(true)
  expect(real.length).toBe(3)
  expect(worst(curve, f)).toBeLessThan(1e-9)
})

test('value and slopes share their pieces', () => {
  const curve = fitCurve(
    (x, out) => {
      out[0] = 2 * x * x
      out[1] = Math.exp(-x)
      out[2] = x
    },
    [1],
    2,
  )
  for (const x of [0.1, 0.99, 1.01, 3, 30]) {
    expect(at(curve, x)).toBeCloseTo(2 * x * x, 9)
    expect(at(curve, x, 0)).toBeCloseTo(Math.exp(-x), 5)
    expect(at(curve, x, 1)).toBeCloseTo(x, 9)
  }
})

test('a stretch without a value keeps to itself', () => {
  const curve = fitted(x => Math.sqrt(2 - x))
  expect(at(curve, 1)).toBeCloseTo(1, 8)
  expect(at(curve, 3)).toBeNaN()
})

test('a constant is a single piece', () => {
  expect(constantCurve(0.42, Float64Array.of(1, 0))).toEqual({
    knots: Float64Array.of(0),
    coefficients: Float64Array.of(0.42, 0, 0, 0),
    slopes: [Float64Array.of(1, 0, 0, 0), Float64Array.of(0, 0, 0, 0)],
    real: Uint8Array.of(0),
  })
})

test('a flight gets its drag over mach from a table, an expression and levers, with slopes by each', () => {
  const table: Curve = {
    knots: Float64Array.of(0, 1, 2),
    coefficients: Float64Array.of(0.3, 0.1, 0, 0.2, 0.6, -0.1, 0, 0),
  }
  const drag: Expr = mul(ref(0), add({ op: 'curve', curve: table, a: { op: 'local' } }, mul(ref(1), { op: 'local' })))
  const quantities = [lever('trim', 0.5, 2), lever('bias', 0, 1), flown('max q', 0)]
  const flights = [flight('hop', { dragCoefficient: drag, dragBreaks: [1, 2] })]
  const state = start(compile(model(quantities, { flights }), closedParts()))
  const q = (trim: number, bias: number, slopes = false) => {
    state.evaluate(Float64Array.of(bias, trim), { accuracy: 'tight', slopes, scope: 'all' })
    return state.valueOf(2)
  }
  // At mach 1.3 the table gives 0.57.
  const scale = q(1, 0) / 0.57
  expect(q(1.5, 0.2, true)).toBeCloseTo(scale * 1.5 * (0.57 + 0.26), 9)
  const [byBias, byTrim] = state.slopesOf(2)
  expect(byBias).toBeCloseTo(scale * 1.5 * 1.3, 8)
  expect(byTrim).toBeCloseTo(scale * (0.57 + 0.26), 8)
  expect(q(1, 0)).toBeCloseTo(scale * 0.57, 12)
})

test('a table is held constant outside its knots and has no slope there', () => {
  const curve: Curve = { knots: Float64Array.of(1, 2), coefficients: Float64Array.of(3, 1, 0, 0) }
  const state = start(
    compile(
      model([lever('x', 0, 5), { role: 'figure', name: 'f', value: { op: 'curve', curve, a: ref(0) } }]),
      closedParts(),
    ),
  )
  const values = [0, 1, 1.5, 2, 9].map(x => {
    state.evaluateAlgebra(Float64Array.of(x), true)
    return [state.valueOf(1), state.slopesOf(1)[0]]
  })
  expect(values).toEqual([
    [3, 0],
    [3, 1],
    [3.5, 1],
    [4, 0],
    [4, 0],
  ])
})
