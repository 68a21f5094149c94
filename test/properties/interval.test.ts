import fc from 'fast-check'
import * as reference from 'interval-arithmetic'
import { expect, test } from 'vitest'
import * as interval from '../../solver/interval/index.ts'

const out = new Float64Array(2)
type Two = (out: Float64Array, al: number, ah: number, bl: number, bh: number) => Float64Array
type One = (out: Float64Array, al: number, ah: number) => Float64Array

/** Doubles of all sizes, with small round ones and zero often. */
const numbers = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e12, max: 1e12 }),
  fc.integer({ min: -64, max: 64 }).map(n => n / 8),
  fc.integer({ min: -300, max: 300 }).map(n => 10 ** (n / 10)),
)
const pairs = fc.tuple(numbers, numbers).map(([a, b]) => [Math.min(a, b), Math.max(a, b)] as const)

/** A number between two, near their middle: halves of the smallest doubles are rounded, and may add up to more than either. */
const within = (low: number, high: number) => Math.min(high, Math.max(low, 0.5 * low + 0.5 * high))

/** An exact fraction: numerator over a power of two. */
interface Exact {
  readonly top: bigint
  readonly bottom: bigint
}

function exact(x: number): Exact {
  let [top, bottom] = [x, 1n]
  while (!Number.isInteger(top)) {
    top *= 2
    bottom *= 2n
  }
  return { top: BigInt(top), bottom }
}

/** Compares two fractions of positive denominators. */
const below = (a: Exact, b: Exact) => a.top * b.bottom <= b.top * a.bottom

const OPERATIONS: Readonly<Record<string, { run: Two; exact: (a: Exact, b: Exact) => Exact | null }>> = {
  add: {
    run: interval.add,
    exact: (a, b) => ({ top: a.top * b.bottom + b.top * a.bottom, bottom: a.bottom * b.bottom }),
  },
  sub: {
    run: interval.sub,
    exact: (a, b) => ({ top: a.top * b.bottom - b.top * a.bottom, bottom: a.bottom * b.bottom }),
  },
  mul: { run: interval.mul, exact: (a, b) => ({ top: a.top * b.top, bottom: a.bottom * b.bottom }) },
  div: {
    run: interval.div,
    exact: (a, b) => {
      if (b.top === 0n) return null
      const [top, bottom] = [a.top * b.bottom, a.bottom * b.top]
      return bottom < 0n ? { top: -top, bottom: -bottom } : { top, bottom }
    },
  },
}

// Source: exact rational arithmetic on integers of any size.
test('sums, differences, products and quotients contain the exact result', () => {
  for (const [name, { run, exact: truth }] of Object.entries(OPERATIONS)) {
    fc.assert(
      fc.property(pairs, pairs, ([al, ah], [bl, bh]) => {
        run(out, al, ah, bl, bh)
        const [low, high] = out
        for (const a of [al, ah, within(al, ah)]) {
          for (const b of [bl, bh, within(bl, bh)]) {
            const value = truth(exact(a), exact(b))
            if (!value) continue
            if (Number.isFinite(low)) expect(below(exact(low!), value), `${name} ${low} ${a} ${b}`).toBe(true)
            if (Number.isFinite(high)) expect(below(value, exact(high!)), `${name} ${high} ${a} ${b}`).toBe(true)
          }
        }
      }),
      { numRuns: 400 },
    )
  }
})

/** Whether two ends agree but for the last few places. */
const agree = (a: number, b: number) =>
  a === b || Math.abs(a - b) <= 40 * 2 ** -52 * Math.max(Math.abs(a), Math.abs(b)) + 1e-13

// Source: the library interval-arithmetic 1.1.3 (its powers only whole: others come back empty; its cosine loses 1e-14 near zero).
test('ends agree with another library’s to a few places', () => {
  const two: readonly [Two, (x: reference.Interval, y: reference.Interval) => { lo: number; hi: number }][] = [
    [interval.add, reference.add],
    [interval.sub, reference.sub],
    [interval.mul, reference.mul],
    [interval.div, reference.div],
    [interval.min, reference.min],
    [interval.max, reference.max],
  ]
  const one: readonly [One, (x: reference.Interval) => { lo: number; hi: number }, number, number][] = [
    [interval.neg, reference.negative, -1e9, 1e9],
    [interval.abs, reference.abs, -1e9, 1e9],
    [interval.sqrt, reference.sqrt, 0, 1e9],
    [interval.exp, reference.exp, -50, 50],
    [interval.ln, reference.log, 1e-6, 1e9],
    [interval.log10, reference.log10, 1e-6, 1e9],
    [interval.sin, reference.sin, -20, 20],
    [interval.cos, reference.cos, -20, 20],
    [interval.asin, reference.asin, -1, 1],
    [interval.acos, reference.acos, -1, 1],
    [interval.atan, reference.atan, -1e6, 1e6],
    [interval.square, x => reference.pow(x, 2), -1e6, 1e6],
    [(o, al, ah) => interval.pow(o, al, ah, 3, 3), x => reference.pow(x, 3), -1e3, 1e3],
    [(o, al, ah) => interval.pow(o, al, ah, 4, 4), x => reference.pow(x, 4), -1e3, 1e3],
  ]
  fc.assert(
    fc.property(pairs, pairs, ([al, ah], [bl, bh]) => {
      for (const [own, theirs] of two) {
        if (own === interval.div && bl <= 0 && bh >= 0) continue
        own(out, al, ah, bl, bh)
        const other = theirs(new reference.Interval(al, ah), new reference.Interval(bl, bh))
        expect(agree(out[0]!, other.lo) && agree(out[1]!, other.hi)).toBe(true)
      }
    }),
    { numRuns: 400 },
  )
  const shares = fc.double({ noNaN: true, min: 0, max: 1 })
  fc.assert(
    fc.property(shares, shares, (s, t) => {
      for (const [own, theirs, from, to] of one) {
        const [al, ah] = [from + Math.min(s, t) * (to - from), from + Math.max(s, t) * (to - from)]
        own(out, al, ah)
        const other = theirs(new reference.Interval(al, ah))
        expect([agree(out[0]!, other.lo), agree(out[1]!, other.hi)], `${[...out]} ${other.lo} ${other.hi}`).toEqual([
          true,
          true,
        ])
      }
    }),
    { numRuns: 400 },
  )
})

const inside = (share: number, low: number, high: number) => Math.min(high, Math.max(low, low + share * (high - low)))
const loosened = (z: number) => [interval.wellDown(z), interval.wellUp(z)] as const
const shares = fc.double({ noNaN: true, min: 0, max: 1 })

test('every function’s value at a point lies in its interval', () => {
  const functions: readonly [One, (x: number) => number][] = [
    [interval.exp, Math.exp],
    [interval.ln, Math.log],
    [interval.log10, Math.log10],
    [interval.sin, Math.sin],
    [interval.cos, Math.cos],
    [interval.tan, Math.tan],
    [interval.asin, Math.asin],
    [interval.acos, Math.acos],
    [interval.atan, Math.atan],
    [interval.sqrt, Math.sqrt],
    [interval.square, x => x * x],
  ]
  fc.assert(
    fc.property(pairs, shares, ([al, ah], share) => {
      const x = inside(share, al, ah)
      for (const [run, f] of functions) {
        const value = f(x)
        if (Number.isNaN(value) || !Number.isFinite(value)) continue
        run(out, al, ah)
        expect(out[0]! <= value && value <= out[1]!, `${run.name} ${al} ${ah} ${x}`).toBe(true)
      }
    }),
    { numRuns: 1500 },
  )
})

const exponents = fc.oneof(
  fc.integer({ min: -5, max: 5 }),
  fc.constantFrom(0.5, 1.5, -0.5, 1 / 3, 2 / 3),
  fc.double({ min: -4, max: 4, noNaN: true }),
)

test('powers lie in their interval, for constant exponents and ranges of them', () => {
  fc.assert(
    fc.property(pairs, exponents, exponents, shares, shares, ([al, ah], p, q, s, t) => {
      for (const [bl, bh] of [
        [p, p],
        [Math.min(p, q), Math.max(p, q)],
      ] as const) {
        const [x, y] = [inside(s, al, ah), inside(t, bl, bh)]
        const value = x ** y
        if (!Number.isFinite(value) || (x === 0 && y < 0)) continue
        interval.pow(out, al, ah, bl, bh)
        expect(out[0]! <= value && value <= out[1]!, `${al} ${ah} ^ ${bl} ${bh}: ${x}^${y}`).toBe(true)
      }
    }),
    { numRuns: 2000 },
  )
})

test('going backwards loses no point that answers', () => {
  const angles = fc.double({ noNaN: true, min: -12, max: 12 })
  const kept = (x: number, what: string) => expect(out[0]! <= x && x <= out[1]!, what).toBe(true)
  fc.assert(
    fc.property(pairs, pairs, shares, shares, ([xl, xh], [yl, yh], s, t) => {
      const [x, y] = [inside(s, xl, xh), inside(t, yl, yh)]
      const product = loosened(x * y)
      kept(x, `factor ${interval.factor(out, xl, xh, ...product, yl, yh)} ${x} ${y}`)
      kept(x, `squared ${interval.squared(out, xl, xh, ...loosened(x * x))} ${x}`)
    }),
    { numRuns: 1500 },
  )
  fc.assert(
    fc.property(pairs, exponents, shares, ([xl, xh], n, s) => {
      const x = inside(s, xl, xh)
      const z = x ** n
      if (!Number.isFinite(z) || (x === 0 && n < 0)) return
      kept(x, `power ${interval.powerBase(out, xl, xh, ...loosened(z), n)} ${x} ${n}`)
    }),
    { numRuns: 1500 },
  )
  fc.assert(
    fc.property(angles, angles, shares, (a, b, s) => {
      const [xl, xh] = [Math.min(a, b), Math.max(a, b)]
      const x = inside(s, xl, xh)
      kept(x, `sine ${interval.sineOf(out, xl, xh, ...loosened(Math.sin(x)))} ${xl} ${xh} ${x}`)
      kept(x, `cosine ${interval.cosineOf(out, xl, xh, ...loosened(Math.cos(x)))} ${xl} ${xh} ${x}`)
      kept(x, `tangent ${interval.tangentOf(out, xl, xh, ...loosened(Math.tan(x)))} ${xl} ${xh} ${x}`)
    }),
    { numRuns: 1500 },
  )
})

test('angles at the ends of a stretch are kept', () => {
  for (let k = -8; k <= 8; k++) {
    for (const off of [-1e-12, -1e-15, 0, 1e-15, 1e-12]) {
      const x = (k * Math.PI) / 2 + off
      for (const [xl, xh] of [
        [x - 1, x],
        [x, x + 1],
        [x, x],
      ] as const) {
        interval.sineOf(out, xl, xh, ...loosened(Math.sin(x)))
        expect(out[0]! <= x && x <= out[1]!, `sine ${xl} ${xh}`).toBe(true)
        interval.cosineOf(out, xl, xh, ...loosened(Math.cos(x)))
        expect(out[0]! <= x && x <= out[1]!, `cosine ${xl} ${xh}`).toBe(true)
      }
    }
  }
})

const curves = fc
  .tuple(
    fc.array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 5 }),
    fc.infiniteStream(fc.integer({ min: -20, max: 20 })),
    fc.boolean(),
  )
  .map(([widths, numbers, whole]) => {
    const knots = [-2]
    for (const width of widths) knots.push(knots[knots.length - 1]! + width / 10)
    const count = 4 * (knots.length - (whole ? 0 : 1))
    return {
      knots: Float64Array.from(knots),
      coefficients: Float64Array.from({ length: count }, () => (numbers.next().value ?? 0) / 4),
    }
  })

test('a curve’s value lies in its range, and backwards no argument is lost', () => {
  fc.assert(
    fc.property(
      curves,
      fc.integer({ min: -50, max: 200 }),
      fc.integer({ min: 0, max: 80 }),
      shares,
      (curve, from, width, s) => {
        const [al, ah] = [from / 10, (from + width) / 10]
        const x = inside(s, al, ah)
        const { knots, coefficients } = curve
        let k = 0
        while (k + 1 < knots.length && knots[k + 1]! <= x) k++
        const at = Math.min(k, coefficients.length / 4 - 1)
        const w =
          x < knots[0]! || (k === knots.length - 1 && at === k) ? 0 : Math.min(x, knots[knots.length - 1]!) - knots[at]!
        const [c0, c1, c2, c3] = coefficients.slice(4 * at, 4 * at + 4)
        const value = c0! + w * (c1! + w * (c2! + w * c3!))
        interval.curveRange(out, curve, al, ah)
        expect(out[0]! <= value && value <= out[1]!, `${al} ${ah} ${x} ${value} in ${[...out]}`).toBe(true)
        interval.curveInverse(out, curve, al, ah, ...loosened(value))
        expect(out[0]! <= x && x <= out[1]!, `${x} in ${[...out]}`).toBe(true)
      },
    ),
    { numRuns: 2000 },
  )
})
