import { describe, expect, test } from 'vitest'
import * as interval from '../../solver/interval/index.ts'
import { curveAt } from '../../solver/model/curve.ts'
import type { Curve } from '../../solver/model/expr.ts'

// Source: what an interval operation means. Its result holds every value at points inside, and hardly more: ends lie at the least and
// the greatest value that a fine look finds.

const INF = Number.POSITIVE_INFINITY
const out = new Float64Array(2)

/** All intervals between these ends. */
const between = (ends: readonly number[]): (readonly [number, number])[] =>
  ends.flatMap(low => ends.filter(high => high >= low).map(high => [low, high] as const))

/** Points inside: both ends, and a grid between. */
function inside(low: number, high: number, parts = 48): number[] {
  return low === high
    ? [low]
    : Array.from({ length: parts + 1 }, (_, k) => Math.min(high, low + ((high - low) * k) / parts))
}

/** The hull of values; what is beyond 1e200 counts as infinite. */
function hullOf(values: readonly number[]): [number, number] {
  const real = values.filter(value => !Number.isNaN(value))
  const [low, high] = [Math.min(...real), Math.max(...real)]
  return [low < -1e200 ? -INF : low, high > 1e200 ? INF : high]
}

/** Words for a failure are made only when there is one: a million of them would take longer than all else. */
function hold(holds: boolean, found: () => string): void {
  if (!holds) expect.fail(found())
}

/** The result is this hull, not smaller (but for what the values themselves are off by) and not larger by more than `slack`. */
function expectHull(values: readonly number[], slack: number, what: () => string, off = 0): void {
  const [low, high] = hullOf(values)
  const [a, b] = [out[0]!, out[1]!]
  const near = (bound: number, end: number): boolean =>
    bound === end || Math.abs(bound - end) <= slack * (1 + Math.abs(end))
  const empty = a === INF && b === -INF
  const hull = a <= low + off && b >= high - off && near(a, low) && near(b, high)
  hold(low > high ? empty : hull, () => `${what()}: ${a} to ${b} for ${low} to ${high}`)
}

describe('forwards', () => {
  type Two = (out: Float64Array, al: number, ah: number, bl: number, bh: number) => Float64Array
  const pairs = between([-2, -1, 0, 0.5, 3])
  const two: readonly (readonly [string, Two, (a: number, b: number) => number])[] = [
    ['add', interval.add, (a, b) => a + b],
    ['sub', interval.sub, (a, b) => a - b],
    ['mul', interval.mul, (a, b) => a * b],
    ['div', interval.div, (a, b) => (b === 0 ? Number.NaN : a / b)],
    ['min', interval.min, Math.min],
    ['max', interval.max, Math.max],
  ]
  test.each(two)('%s of all kinds of intervals', (name, run, f) => {
    for (const [al, ah] of pairs)
      for (const [bl, bh] of pairs) {
        run(out, al, ah, bl, bh)
        // Beside zero, divisors as near to it as can be.
        const divisors = [
          ...inside(bl, bh, 8),
          ...(bl < 0 && bh >= 0 ? [-1e-250] : []),
          ...(bl <= 0 && bh > 0 ? [1e-250] : []),
        ]
        const values = inside(al, ah, 8).flatMap(a => divisors.map(b => f(a, b)))
        // 0/0 apart, a quotient over a divisor of both signs may be anything.
        if (name === 'div' && bl < 0 && bh > 0 && !(al === 0 && ah === 0)) expect([...out]).toEqual([-INF, INF])
        else expectHull(values, 1e-9, () => `${name} ${al} ${ah} ${bl} ${bh}`)
      }
  })

  type One = (out: Float64Array, al: number, ah: number) => Float64Array
  const one: readonly (readonly [string, One, (x: number) => number, readonly number[]])[] = [
    ['neg', interval.neg, x => -x, []],
    ['abs', interval.abs, Math.abs, [0]],
    ['sqrt', interval.sqrt, Math.sqrt, [0]],
    ['exp', interval.exp, Math.exp, []],
    ['ln', interval.ln, x => (x > 0 ? Math.log(x) : Number.NaN), []],
    ['log10', interval.log10, x => (x > 0 ? Math.log10(x) : Number.NaN), []],
    ['square', interval.square, x => x * x, [0]],
    ['sin', interval.sin, Math.sin, [-3, -1, 1, 3].map(k => (k * Math.PI) / 2)],
    ['cos', interval.cos, Math.cos, [-2, -1, 0, 1, 2].map(k => k * Math.PI)],
    ['asin', interval.asin, Math.asin, [-1, 1]],
    ['acos', interval.acos, Math.acos, [-1, 1]],
    ['atan', interval.atan, Math.atan, []],
  ]
  test.each(one)('%s of all kinds of intervals', (name, run, f, turns) => {
    for (const [al, ah] of between([-7, -4.5, -3, -2, -1, -0.5, 0, 0.25, 1, 2, 4, 5])) {
      run(out, al, ah)
      const values = [...inside(al, ah), ...turns.filter(x => x > al && x < ah)].map(f)
      // A logarithm has no value at zero and falls without end beside it.
      if (name.startsWith('l') && al <= 0 && ah > 0) values.push(-INF)
      expectHull(values, 1e-9, () => `${name} ${al} ${ah}`)
    }
  })

  test('powers with one exponent, and positive bases with a range of them', () => {
    for (const n of [-3, -2, -1, -0.5, 0, 0.5, 1, 1.5, 2, 3, 4])
      for (const [al, ah] of between([-2, -1, -0.5, 0, 0.5, 1, 3])) {
        interval.pow(out, al, ah, n, n)
        const bases = [
          ...inside(al, ah, 24),
          ...(al <= 0 && ah > 0 ? [1e-250] : []),
          ...(al < 0 && ah >= 0 ? [-1e-250] : []),
        ]
        const values = bases.map(x => (x === 0 && n < 0 ? Number.NaN : x ** n))
        if (n === -0.5 && al <= 0 && ah > 0) values.push(INF)
        if (n === -0.5 && ah <= 0) continue
        expectHull(values, 1e-9, () => `${al} ${ah} ^ ${n}`)
      }
    for (const [al, ah] of between([0.25, 0.5, 1, 2, 3]))
      for (const [bl, bh] of between([-2, -0.5, 0, 1.5, 3])) {
        interval.pow(out, al, ah, bl, bh)
        expectHull(
          inside(al, ah, 4).flatMap(x => inside(bl, bh, 4).map(y => x ** y)),
          1e-9,
          () => `${al} ${ah} ^ ${bl} ${bh}`,
        )
      }
  })
})

/**
 * Of points from `xl` to `xh` the result keeps all whose value lies in [zl, zh], and reaches no farther than a step beyond those whose
 * value nearly does.
 */
function expectKept(
  f: (x: number) => number,
  [xl, xh]: readonly [number, number],
  zl: number,
  zh: number,
  nearly: number,
  what: () => string,
): void {
  let [low, high, from, to] = [INF, -INF, INF, -INF]
  const step = 1e-9 + (xh - xl) / 200
  for (let k = 0; k <= 200; k++) {
    const x = Math.min(xh, xl + ((xh - xl) * k) / 200)
    const value = f(x)
    if (value >= zl - nearly && value <= zh + nearly) [from, to] = [Math.min(from, x), Math.max(to, x)]
    if (value >= zl && value <= zh) [low, high] = [Math.min(low, x), Math.max(high, x)]
  }
  const [a, b] = [out[0]!, out[1]!]
  const found = (): string => `${what()} in ${xl} ${xh}: ${a} to ${b} for ${low} to ${high}`
  hold(a <= low && b >= high, found)
  if (from > to) hold(a > b, found)
  else hold(a > b || (a >= from - step && b <= to + step), found)
}

describe('backwards', () => {
  const ends = between([-2, -1, 0, 1, 3])

  test('a factor', () => {
    for (const [xl, xh] of ends)
      for (const [yl, yh] of between([-2, -1, 0, 0.5, 2]))
        for (const [zl, zh] of between([-3, -0.75, 0, 0.6, 2])) {
          interval.factor(out, xl, xh, zl, zh, yl, yh)
          // How far the products of x are from [zl, zh].
          const off = (x: number): number => Math.max(0, Math.min(x * yl, x * yh) - zh, zl - Math.max(x * yl, x * yh))
          expectKept(off, [xl, xh], 0, 0, 0.03, () => `y ${yl} ${yh}, z ${zl} ${zh}, x`)
        }
  })

  test('a square and other powers', () => {
    for (const [xl, xh] of ends)
      for (const [zl, zh] of between([-2, -0.3, 0.2, 1, 1.7, 4])) {
        interval.squared(out, xl, xh, zl, zh)
        expectKept(
          x => x * x,
          [xl, xh],
          zl,
          zh,
          0.03,
          () => 'square',
        )
        for (const n of [-2, -1, 0.5, 1, 2, 3, 4]) {
          if (n < 0 && xl <= 0 && xh >= 0) continue
          interval.powerBase(out, xl, xh, zl, zh, n)
          expectKept(
            x => x ** n,
            [xl, xh],
            zl,
            zh,
            0.25,
            () => `power ${n}`,
          )
        }
      }
  })

  test('angles within one stretch', () => {
    for (let k = -3; k <= 3; k++)
      for (const [from, to] of between([-1.5, -0.7, 0, 0.4, 1.5]))
        for (const [zl, zh] of between([-2, -1, -0.6, 0, 0.3, 1, 2]))
          for (const [name, run, f, turn] of [
            ['sine', interval.sineOf, Math.sin, 0],
            ['cosine', interval.cosineOf, Math.cos, Math.PI / 2],
            ['tangent', interval.tangentOf, Math.tan, 0],
          ] as const) {
            const x = [k * Math.PI + turn + from, k * Math.PI + turn + to] as const
            run(out, ...x, zl, zh)
            expectKept(f, x, zl, zh, 0.02, () => name)
          }
  })

  test('angles over a crest, a trough or a pole are left', () => {
    for (const [run, xl, xh] of [
      [interval.sineOf, 1, 2.5],
      [interval.sineOf, 0.5, 1.7],
      [interval.sineOf, -2.5, -1],
      [interval.cosineOf, -0.1, 1.2],
      [interval.cosineOf, 2, 3.3],
      [interval.tangentOf, 1, 2],
    ] as const)
      expect([...run(out, xl, xh, 0.2, 0.3)]).toEqual([xl, xh])
  })

  test('values that a wave never takes have no angle, its very crest has', () => {
    expect([...interval.sineOf(out, 0, 9, -3, -1.1)]).toEqual([INF, -INF])
    expect([...interval.cosineOf(out, 0, 9, 1.1, 3)]).toEqual([INF, -INF])
    for (const [run, crest, trough] of [
      [interval.sineOf, Math.PI / 2, -Math.PI / 2],
      [interval.cosineOf, 0, Math.PI],
    ] as const) {
      expect(run(out, crest - 1, crest, 1, 3)[1]).toBe(crest)
      expect(out[0]!).toBeGreaterThan(crest - 1e-6)
      expect(run(out, trough, trough + 1, -3, -1)[0]).toBe(trough)
      expect(out[1]!).toBeLessThan(trough + 1e-6)
    }
  })

  test('angles too large to be told apart are left', () => {
    for (const run of [interval.sineOf, interval.cosineOf, interval.tangentOf])
      for (const [xl, xh] of [
        [2e6, 2e6 + 0.1],
        [0, 2e6],
        [-2e6, 0],
        [999_999.9, 1_000_000.1],
        [-1_000_000.1, -999_999.9],
      ] as const)
        expect([...run(out, xl, xh, 0.1, 0.2)]).toEqual([xl, xh])
  })
})

describe('curves', () => {
  const curves: readonly Curve[] = [
    { knots: Float64Array.of(0, 2), coefficients: Float64Array.of(0, -1, 0, 1) },
    { knots: Float64Array.of(-1, 0, 1, 3), coefficients: Float64Array.of(1, 0, -1, 0, 0, 2, -3, 1, 0.5, -2, 0, 0.5) },
    { knots: Float64Array.of(0, 1, 2), coefficients: Float64Array.of(0, 1, 0, 0, 5, 1, 0, 0, 9, 0, 0, 0) },
    { knots: Float64Array.of(0, 1, 2, 3), coefficients: Float64Array.of(1, 0, 0, 0, 1, 3, -3, 0, 1, 0, 2, -1) },
    { knots: Float64Array.of(1), coefficients: Float64Array.of(4, 0, 0, 0) },
    // Cubics and parabolas that turn inside a piece, early and late, upwards and downwards.
    { knots: Float64Array.of(0, 2, 4), coefficients: Float64Array.of(0, 2, -3, 1, 0, -2, 3, -1) },
    { knots: Float64Array.of(-1, 1, 2), coefficients: Float64Array.of(0, 2, -1, 0, 0, -1, 1, 0) },
  ]
  const spans = between([-2, -0.5, 0, 0.5, 1, 2, 2.5, 4])

  /** Values at points, and those that pieces end in at knots. */
  const values = (curve: Curve, low: number, high: number): number[] => [
    ...inside(low, high, 300).map(x => curveAt(curve, x)),
    ...[...curve.knots].filter(knot => knot >= low && knot <= high).map(knot => curveAt(curve, knot - 1e-12)),
    ...[...curve.knots].filter(knot => knot >= low && knot <= high).map(knot => curveAt(curve, knot)),
  ]

  test('reach from the least to the greatest of their values', () => {
    for (const curve of curves)
      for (const [low, high] of spans) {
        interval.curveRange(out, curve, low, high)
        expectHull(values(curve, low, high), 1e-4, () => `${curve.knots} over ${low} ${high}`, 1e-10)
      }
  })

  test('are narrowed backwards to where they answer', () => {
    for (const curve of curves)
      for (const [xl, xh] of spans)
        for (const [zl, zh] of between([-4, -0.2, 0.3, 1.2, 5.4])) {
          interval.curveInverse(out, curve, xl, xh, zl, zh)
          // At a knot the piece that ends there counts as well.
          const near = (x: number): number => {
            const ends = [
              curveAt(curve, x),
              x > xl || curve.knots.includes(x) ? curveAt(curve, x - 1e-12) : curveAt(curve, x),
            ]
            return Math.min(...ends.map(z => Math.max(0, z - zh, zl - z)))
          }
          expectKept(near, [xl, xh], -1, 1e-9, 0.25, () => `knots ${curve.knots}, z ${zl} ${zh}, x`)
        }
  })
})
