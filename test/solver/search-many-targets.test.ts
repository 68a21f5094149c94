import fc from 'fast-check'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { leading } from '../../solver/search/leading.ts'

const PLACES = 1000

/** The sheet's targets over its one lever, and what they are short by the design's words: the sum of max(0, −margin). */
const wish = fc.record({
  kind: fc.constantFrom('at least', 'at most', 'within'),
  limit: fc.integer({ min: 1, max: 90 }),
  width: fc.integer({ min: 1, max: 30 }),
  times: fc.integer({ min: 1, max: 3 }),
})
type Wish = typeof wish extends fc.Arbitrary<infer T> ? T : never

function written({ kind, limit, width, times }: Wish): string {
  const ends = kind === 'within' ? `${limit}/10 to ${limit + width}/10` : `${limit}/10`
  return `should ${times === 1 ? 'x' : `${times} * x`} ${kind} ${ends}`
}

function shortfall({ kind, limit, width, times }: Wish, x: number): number {
  const [value, low] = [times * x, limit / 10]
  if (kind === 'at least') return Math.max(0, low - value) / low
  if (kind === 'at most') return Math.max(0, value - low) / low
  return Math.max(0, low - value, value - low - width / 10) / (width / 20)
}

test('of many wishes on one lever as little is left short as anywhere on a fine grid', () => {
  fc.assert(
    fc.property(fc.array(wish, { minLength: 2, maxLength: 40 }), wishes => {
      const answer = openSheet(`lever x from 0 to 10\n${wishes.map(written).join('\n')}\n`).solve()
      const total = (x: number): number => wishes.reduce((sum, each) => sum + shortfall(each, x), 0)
      const least = Math.min(...Array.from({ length: PLACES + 1 }, (_, k) => total((10 * k) / PLACES)))
      expect(answer.outcome).toBe('solved')
      expect(total(answer.quantities.x!.si as number)).toBeLessThanOrEqual(least + 1e-6 * Math.max(1, least))
    }),
    { numRuns: 60 },
  )
})

test('nor does it matter that each wish has a figure of its own, rising or falling', () => {
  // A figure that the lever works crosswise: 20 − times · x, wished for from the other side.
  const turned = ({ kind, limit, width }: Wish): string => {
    const [low, high] = [20 - limit / 10, 20 - (limit + width) / 10]
    return kind === 'within' ? `within ${high} to ${low}` : `${kind === 'at least' ? 'at most' : 'at least'} ${low}`
  }
  /** As far as before, in units of the other limit. */
  const short = (each: Wish, x: number): number =>
    shortfall(each, x) * (each.kind === 'within' ? 1 : each.limit / (200 - each.limit))
  fc.assert(
    fc.property(fc.array(fc.tuple(wish, fc.boolean()), { minLength: 2, maxLength: 40 }), wishes => {
      const lines = wishes.flatMap(([each, falls], k) => {
        const name = `f${'abcdefghij'[k % 10]}${'abcd'[Math.floor(k / 10)]}`
        const [value, words] = falls
          ? [`20 - ${each.times} * x`, turned(each)]
          : [`${each.times} * x`, written(each).split(/(?=at least|at most|within)/)[1]!]
        return [`figure ${name} = ${value}`, `should ${name} ${words}`]
      })
      const answer = openSheet(['lever x from 0 to 10', ...lines].join('\n')).solve()
      const total = (x: number): number =>
        wishes.reduce((sum, [each, falls]) => sum + (falls ? short(each, x) : shortfall(each, x)), 0)
      const least = Math.min(...Array.from({ length: PLACES + 1 }, (_, k) => total((10 * k) / PLACES)))
      expect(answer.outcome).toBe('solved')
      expect(total(answer.quantities.x!.si as number)).toBeLessThanOrEqual(least + 1e-6 * Math.max(1, least))
    }),
    { numRuns: 60 },
  )
})

test('the margins kept hold the smallest of their key wherever the figure goes', () => {
  const line = fc.record({ key: fc.nat(2), from: fc.integer({ min: -9, max: 9 }), by: fc.integer({ min: 0, max: 9 }) })
  fc.assert(
    fc.property(fc.array(line, { maxLength: 30 }), lines => {
      const kept = leading(lines.map(({ key, from, by }) => ({ key, least: from, most: from + by })))
      for (let share = 0; share <= 1; share += 0.05)
        for (const key of [0, 1, 2]) {
          const smallest = (of: readonly number[]): number =>
            Math.min(...of.filter(i => lines[i]!.key === key).map(i => lines[i]!.from + share * lines[i]!.by))
          expect(smallest(kept)).toBeCloseTo(smallest([...lines.keys()]), 12)
        }
    }),
  )
})
