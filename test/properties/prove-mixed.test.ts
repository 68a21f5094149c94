import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Expr } from '../../solver/model/expr.ts'
import type { Range, Target } from '../../solver/model/model.ts'
import { compile, prove, start } from '../../solver/network/index.ts'
import { add, closedParts, div, lever, model, mul, num, ref } from '../support/closed-flight.ts'
import { meetsAll } from '../support/margins.ts'
import { mixedSheets } from '../support/mixed-sheets.ts'

const LOOKS = 400

/** The point itself, and others: all over the ranges, and ever closer to the point. The same ones each time. */
function* pointsAbout(point: Float64Array, ranges: readonly Range[]): Generator<Float64Array> {
  yield point
  let seed = 1
  // The generator of Lewis, Goodman and Miller (IBM Systems Journal, 1969).
  const next = () => {
    seed = (seed * 48271) % 2147483647
    return seed / 2147483647
  }
  for (let n = 0; n < LOOKS; n++) {
    const near = n % 3
    yield point.map((x, k) => {
      const { from, to, settings } = ranges[k]!
      if (settings) return near > 0 && next() < 0.5 ? x : settings[Math.floor(next() * settings.length)]!
      if (near === 0) return Math.min(to, from + next() * (to - from))
      return Math.min(to, Math.max(from, x + (next() - 0.5) * (to - from) * 10 ** (-6 * near * next())))
    })
  }
}

test('no settings that meet musts of any kind, in any units, on steps or with a lever pinned, are cut off', () => {
  const counts = { contradiction: 0, narrowed: 0, met: 0 }
  fc.assert(
    fc.property(mixedSheets, fc.boolean(), ({ state, ranges, point }, pinned) => {
      const last = ranges.length - 1
      if (pinned && last > 1) state.pin(state.program.levers[last]!, point[last]!)
      const free = [...state.free]
      const own = free.map(l => ranges[l]!)
      const proof = prove(state, own)
      if (proof.contradiction) counts.contradiction++
      else if (own.some(({ from, to }, k) => proof.low[k]! > from || proof.high[k]! < to)) counts.narrowed++
      const musts = [...state.program.targets.keys()]
      const lost: unknown[] = []
      for (const x of pointsAbout(
        Float64Array.from(free, l => point[l]!),
        own,
      )) {
        state.evaluateAlgebra(x)
        if (!meetsAll(state, musts, proof.widths)) continue
        counts.met++
        const { low, high, quantities: told, contradiction } = proof
        const quantities = told()
        const outside = (value: number, least: number, most: number) => !(value >= least && value <= most)
        if (contradiction || x.some((value, k) => outside(value, low[k]!, high[k]!))) lost.push([...x])
        quantities.low.forEach((least, id) => {
          const value = state.valueOf(id)
          if (value < least || value > quantities.high[id]!) lost.push([id, value])
        })
      }
      expect(lost).toEqual([])
    }),
    { numRuns: 300 },
  )
  expect(Math.min(counts.contradiction, counts.narrowed)).toBeGreaterThan(50)
  expect(counts.met).toBeGreaterThan(5000)
})

test('musts named as a contradiction contradict one another by themselves', () => {
  let found = 0
  fc.assert(
    fc.property(mixedSheets, ({ state, ranges }) => {
      const { contradiction } = prove(state, ranges)
      if (!contradiction) return
      found++
      const sheet = state.program.model
      const few = model(sheet.quantities, { targets: contradiction.map(t => sheet.targets[t]!) })
      expect(prove(start(compile(few, closedParts())), ranges).contradiction).not.toBeNull()
    }),
    { numRuns: 300 },
  )
  expect(found).toBeGreaterThan(30)
})

test('numbers near the end of what a double holds make nothing throw, and cut nothing off', () => {
  const must = (value: Expr, kind: 'at least' | 'at most', limit: number): Target => ({
    level: 'must',
    value,
    limit: { kind, value: num(limit) },
  })
  let met = 0
  for (const large of [1e10, 1e100, 1e155, 1e200, 1e300]) {
    for (const larger of [1e10, 1e155, 1e200, 1e300, 1e307]) {
      const x = mul(num(larger), ref(1))
      const y = add(num(1), mul(num(large), ref(0)))
      const square: Expr = { op: 'pow', a: add(x, y), b: num(2) }
      for (const z of [div(x, y), mul(x, y), div(y, add(x, num(1e-300))), square]) {
        const targets = [
          must(z, 'at least', 1),
          must(z, 'at most', 1e300),
          must(add(x, y), 'at least', 0.5),
          must(add(ref(0), ref(1)), 'at least', 0.5),
        ]
        const state = start(compile(model([lever('a'), lever('b')], { targets }), closedParts()))
        const { low, high, contradiction, widths } = prove(state)
        for (const point of [Float64Array.of(1, 1), Float64Array.of(1, 0), Float64Array.of(0.5, 0.25)]) {
          state.evaluateAlgebra(point)
          if (!meetsAll(state, [0, 1, 2, 3], widths)) continue
          met++
          expect(contradiction).toBeNull()
          expect(point.every((value, l) => value >= low[l]! && value <= high[l]!)).toBe(true)
        }
      }
    }
  }
  expect(met).toBeGreaterThan(50)
})
