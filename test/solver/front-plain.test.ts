import { describe, expect, test } from 'vitest'
import { type Front, frontOf } from '../../solver/map/front.ts'
import type { SearchAim, SearchProblem } from '../../solver/search/problem.ts'
import { flyAll, isMet, marginOf } from '../support/brute-search.ts'
import { type PlainRow, plainProblem, randomProblem, sum, wish } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'

// Source: every setting gone through; fronts whose formula is known by hand.

type Sense = 'least' | 'most'
const aims = (first: Sense, second: Sense, rows: readonly [number, number] = [3, 4]): SearchAim[] => [
  { sense: first, row: rows[0] },
  { sense: second, row: rows[1] },
  { sense: 'roomiest' },
]
const senses: readonly (readonly [Sense, Sense])[] = [
  ['least', 'least'],
  ['least', 'most'],
  ['most', 'least'],
  ['most', 'most'],
]

/** What two aims are worth at the settings that no other beats in both, from the best of the first on. */
function unbeaten(problem: SearchProblem, [one, two]: readonly [Sense, Sense]): (readonly [number, number])[] {
  const met = flyAll(problem)
    .filter(({ rows }) => problem.targets.every(target => isMet(target, marginOf(problem, target, rows))))
    .map(({ rows }) => [rows[3]!, rows[4]!] as const)
  const worse = (sense: Sense, a: number, b: number): boolean => (sense === 'least' ? a > b : a < b)
  return met
    .filter(
      ([a, b]) =>
        !met.some(([c, d]) => !worse(one, c, a) && !worse(two, d, b) && (worse(one, a, c) || worse(two, b, d))),
    )
    .sort(([a], [b]) => (one === 'least' ? a - b : b - a))
}

test('with steps it is every setting that no other beats in both aims', () => {
  let places = 0
  for (let seed = 1; seed <= 8; seed++) {
    const pair = senses[seed % 4]!
    const random = randomProblem(seed, [12, 9])
    const targets = random.targets.filter(({ level, rows: [row] }) => level === 'must' && row !== 3)
    const problem = { ...random, targets, aims: aims(...pair) }
    const truth = unbeaten(problem, pair)
    const front = frontOf(problem, 100)
    if (truth.length === 0) {
      expect(front).toBeNull()
      continue
    }
    expect(front!.places.map(({ first, second }) => [first, second])).toEqual(
      truth.map(([a, b]) => [expect.closeTo(a, 9), expect.closeTo(b, 9)]),
    )
    for (const { x, first, second } of front!.places) {
      const { rows } = problem.fly(x, 'tight', false)
      expect([rows[3], rows[4]]).toEqual([first, second])
    }
    places += truth.length
    expect(front!.work).toBeGreaterThan(0)
  }
  expect(places).toBeGreaterThan(30)
})

describe('without steps', () => {
  const unit = [rangeOf(0, 1, 0), rangeOf(0, 1, 0)]
  const [x, y]: PlainRow[] = [
    { exact: true, of: sum(0, 1, 0) },
    { exact: true, of: sum(0, 0, 1) },
  ]
  const disc: PlainRow = { of: ([a, b]) => [a! * a! + b! * b!, 2 * a!, 2 * b!] }
  const fronted = (rows: readonly PlainRow[], high: number, count: number, pair: readonly [Sense, Sense]): Front =>
    frontOf(plainProblem(unit, rows, [wish(0, { high })], aims(...pair, [1, 2])), count)!
  const spread = ({ places }: Front): number => {
    const steps = places
      .slice(1)
      .map(({ first, second }, k) => Math.hypot(first - places[k]!.first, second - places[k]!.second))
    return Math.max(...steps) / Math.min(...steps)
  }

  test('a quarter of a circle has the places asked for, evenly spread, and its knee half way', () => {
    const front = fronted([disc, x!, y!], 1, 9, ['most', 'most'])
    expect(front.places).toHaveLength(9)
    for (const { first, second } of front.places) expect(Math.hypot(first, second)).toBeCloseTo(1, 6)
    expect([front.places[0]!.first, front.places[8]!.first]).toEqual([expect.closeTo(1, 6), expect.closeTo(0, 3)])
    expect(spread(front)).toBeLessThan(3)
    const { first, second } = front.places[front.knee]!
    expect(Math.abs(first - second)).toBeLessThan(0.3)
  })
  test('a straight one has no knee', () => {
    const front = fronted([{ exact: true, of: sum(0, 1, 1) }, x!, y!], 1, 5, ['most', 'most'])
    expect(front.places.map(({ first }) => first)).toEqual([1, 0.75, 0.5, 0.25, 0].map(at => expect.closeTo(at, 5)))
    expect(front.knee).toBe(-1)
  })
  test('figures count as they are told, not as the rows behind them', () => {
    const doubled: PlainRow = { ...y!, figure: s => 100 * (s + 1) ** 3 }
    const front = fronted([{ exact: true, of: sum(0, 1, 1) }, x!, doubled], 1, 5, ['most', 'most'])
    for (const { first, second } of front.places) expect(second).toBeCloseTo(100 * (2 - first) ** 3, 2)
    expect([front.places[0]!.second, front.places.at(-1)!.second]).toEqual([
      expect.closeTo(100, 3),
      expect.closeTo(800, 3),
    ])
    expect(front.places).toHaveLength(5)
    expect(spread(front)).toBeLessThan(3)
  })
  test('aims that go together have one place', () => {
    const front = fronted([disc, x!, { exact: true, of: sum(1, 2, 0) }], 1, 5, ['most', 'most'])
    expect([front.places.length, front.knee]).toEqual([1, -1])
  })
  test('there is none without two aims or a solution', () => {
    const problem = plainProblem(unit, [x!, y!], [wish(0, { low: 2 })], aims('least', 'most', [0, 1]))
    expect(frontOf(problem, 5)).toBeNull()
    const met = { ...problem, targets: [] }
    expect(frontOf({ ...met, aims: [{ sense: 'roomiest' }] }, 5)).toBeNull()
    expect(frontOf({ ...met, aims: [{ sense: 'least', row: 0 }] }, 5)).toBeNull()
    expect(frontOf({ ...met, aims: [{ sense: 'least', row: 0 }, { sense: 'roomiest' }] }, 5)).toBeNull()
    expect(frontOf(met, 5)!.places).toHaveLength(1)
  })
})
