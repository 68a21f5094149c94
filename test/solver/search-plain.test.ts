import { describe, expect, test } from 'vitest'
import type { SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { search } from '../../solver/search/search.ts'
import { bruteForce, type Flown, flyAll, isMet, marginOf, shortfall } from '../support/brute-search.ts'
import { apart, type PlainRow, plainProblem, randomProblem, sum, wish } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'

// Source: every setting gone through (test/support/brute-search.ts), or points of a fine lattice where there are no steps.

const roomiest = { sense: 'roomiest' } as const
const musts = (problem: SearchProblem): SearchProblem => ({
  ...problem,
  targets: problem.targets.map((target): SearchTarget => ({ ...target, level: 'must' })),
})
const meetsAll = (problem: SearchProblem, { rows }: Pick<Flown, 'rows'>): boolean =>
  problem.targets.every(target => isMet(target, marginOf(problem, target, rows)))

describe('bent surfaces have the answer that flying every setting gives', () => {
  test.each([
    ['two levers', [14, 14], 12],
    ['two levers in fine steps', [60, 50], 4],
    ['three levers', [10, 8, 12], 3],
    ['four levers', [4, 3, 4, 5], 3],
    ['few settings', [2, 2], 6],
    ['one lever', [180], 16],
  ])('%s', (_, steps, count) => {
    const others: string[] = []
    let conflicts = 0
    for (let seed = 1; seed <= count; seed++) {
      for (const problem of [randomProblem(seed, steps), musts(randomProblem(seed + 40, steps))]) {
        const truth = bruteForce(problem, flyAll(problem))
        const found = search(problem)
        if (truth.outcome === 'conflict') conflicts++
        if (found.outcome !== truth.outcome) others.push(`${seed}: ${found.outcome} for ${truth.outcome}`)
        else if (found.x!.some((value, l) => value !== truth.flown.x[l]))
          others.push(`${seed}: ${found.x} for ${truth.flown.x}`)
      }
    }
    expect(others).toEqual([])
    expect(conflicts).toBeGreaterThanOrEqual(steps.length === 2 ? 1 : 0)
  })
})

// An aim on what no flight has in most of the box that the musts leave: drag loss, where a motor still burns at the landing.
test('settings have a value of the aim where any that meet the musts have one', () => {
  const least: number[] = []
  for (let seed = 1; seed <= 40; seed++) {
    const turn = seed / 40
    const aim: PlainRow['of'] = ([x, y]) =>
      x! + y! > 1.15 ? [Number.NaN, 0, 0] : [1 + turn * x! + (1 - turn) * y!, turn, 1 - turn]
    const corner = [wish(1, { low: 0.5 }), wish(2, { low: 0.5 })]
    const rows = [{ of: aim }, { of: sum(0, 1, 0.1 * turn) }, { of: sum(0, -0.1 * turn, 1) }]
    for (const steps of [0, 300]) {
      const levers = [rangeOf(0, 1, steps), rangeOf(0, 1, steps)]
      const found = search(plainProblem(levers, rows, corner, [{ sense: 'least', row: 0 }, roomiest]))
      expect(found.outcome).toBe('solved')
      least.push(aim(found.x!)[0])
    }
  }
  expect(least.filter(Number.isNaN)).toEqual([])
})

describe('without steps nothing on a lattice is better, level by level', () => {
  test.each([
    ['one lever', [200], 16],
    ['two levers', [24, 24], 15],
    ['three levers', [8, 8, 8], 5],
  ])('of %s', (_, steps, count) => {
    let solved = 0
    const decided = { should: 0, could: 0, aim: 0 }
    for (let seed = 1; seed <= count; seed++) {
      const random = randomProblem(
        seed + 300,
        steps.map(() => 0),
      )
      const problem = seed % 3 === 0 ? musts(random) : random
      const fine = flyAll({ ...problem, levers: steps.map(each => rangeOf(0, 1, each)) })
      const needed = { ...problem, targets: problem.targets.filter(({ level }) => level === 'must') }
      const lattice = fine.filter(flown => meetsAll(needed, flown))
      const { outcome, x } = search(problem)
      if (outcome !== 'solved') {
        expect(lattice).toEqual([])
        continue
      }
      solved++
      const own = problem.fly(x!, 'tight', false)
      expect(meetsAll(needed, own)).toBe(true)
      const aim = problem.aims[0]!
      const levels = (['should', 'could'] as const).filter(level => problem.targets.some(each => each.level === level))
      const first = levels[0]
      const worth = ({ rows }: Pick<Flown, 'rows'>): number => {
        if (first) return shortfall(problem, first, rows)
        if (aim.sense !== 'roomiest') return (aim.sense === 'least' ? 1 : -1) * rows[aim.row]!
        return -Math.min(...problem.targets.map(target => marginOf(problem, target, rows)))
      }
      decided[first ?? 'aim']++
      for (const flown of lattice) expect(worth(own), `${seed}`).toBeLessThanOrEqual(worth(flown) + 2e-6)
    }
    expect(solved).toBeGreaterThan(count / 2)
    expect(Math.min(decided.should, decided.aim)).toBeGreaterThan(0)
  })
})

test('what nothing else decides lies in the middle of its range, the first lever before the next', () => {
  const levers = [rangeOf(0, 1, 0), rangeOf(0, 2, 0)]
  const found = (rows: readonly PlainRow[], targets: readonly SearchTarget[]) => [
    ...search(plainProblem(levers, rows, targets, [roomiest])).x!,
  ]
  const about = (x: number): number => expect.closeTo(x, 4)
  // The roomiest sum is 1.2; it may be shared in many ways.
  expect(found([{ of: sum(0, 1, 1) }], [wish(0, { low: 0.8, high: 1.6 })])).toEqual([about(0.5), about(0.7)])
  expect(found([{ of: sum(0, 1, 1) }], [wish(0, { low: 2, high: 2.8 })])).toEqual([about(0.5), about(1.9)])
  expect(found([{ of: sum(0, 1, 1) }], [wish(0, { low: 2.5, high: 2.9 })])).toEqual([about(0.7), about(2)])
  const bent: PlainRow = { of: ([x, y]) => [x! * x! + y!, 2 * x!, 1] }
  expect(found([bent], [wish(0, { low: 0.8, high: 1.6 })])).toEqual([about(0.5), about(0.95)])
  // Nothing hangs on the second lever.
  expect(found([{ of: sum(0, 1, 0) }], [wish(0, { low: 0.2, high: 0.4 })])).toEqual([about(0.3), about(1)])
})

describe('what may be asked besides', () => {
  const problem = musts(randomProblem(38, [40, 40]))
  const whole = search(problem)
  test('any settings that meet the musts cost less', () => {
    const asked = musts(randomProblem(44, [40, 40]))
    const best = search(asked)
    const any = search(asked, { any: true })
    expect([best.outcome, any.outcome]).toEqual(['solved', 'solved'])
    expect(meetsAll(asked, asked.fly(any.x!, 'tight', false))).toBe(true)
    expect(any.flights).toBeLessThan(best.flights)
  })
  test('from the answer itself the same is found, for less', () => {
    for (const local of [false, true]) {
      const again = search(problem, { start: whole.x!, local })
      expect([again.outcome, again.x]).toEqual(['solved', whole.x])
      expect(again.flights).toBeLessThan(whole.flights)
    }
  })
  test('a search that is stopped says so, and how many flights there were before', () => {
    const told: number[] = []
    const stopped = search(problem, {
      watch: flights => {
        told.push(flights)
        return told.length < 5
      },
    })
    expect(stopped).toMatchObject({
      outcome: 'unsure',
      evidence: 'searched',
      tried: 'the search was stopped before it was done',
    })
    expect(told).toHaveLength(5)
    expect(told).toEqual([...told].sort((a, b) => a - b))
    expect(stopped.flights).toBeLessThan(whole.flights)
    expect(search(problem, { watch: () => true })).toEqual(whole)
  })
  test('a limit to the flights is kept, but for those under way', () => {
    const limited = search(problem, { flightLimit: 20 })
    expect(limited.flights).toBeGreaterThanOrEqual(whole.flights < 20 ? whole.flights : 10)
    expect(limited.flights).toBeLessThan(Math.min(60, whole.flights))
  })
  test('a lever that nothing hangs on rests in the middle of its range', () => {
    const idle = { ...problem, levers: [...problem.levers, rangeOf(2, 4, 4)], idle: [false, false, true] }
    const more = plainProblem(
      idle.levers,
      problem.rows.map(
        (row, r): PlainRow => ({
          ...row,
          of: x => {
            const { rows, slopes } = problem.fly(x.subarray(0, 2), 'tight', true)
            return [rows[r]!, slopes[2 * r]!, slopes[2 * r + 1]!, 0]
          },
        }),
      ),
      problem.targets,
      problem.aims,
    )
    for (const options of [{}, { start: Float64Array.of(0.5, 0.5, 2) }])
      expect(search({ ...more, idle: idle.idle }, options).x).toEqual(Float64Array.of(...whole.x!, 3))
  })
})

describe('a conflict', () => {
  test('is searched where flights tell it, proved where algebra does, with the closest compromise', () => {
    // x ≥ 7 and x ≤ 3: short by the same share of each limit at x = 4.2, so the nearest step.
    const flown = search(apart())
    expect([flown.outcome, flown.evidence, flown.x![0]]).toEqual(['conflict', 'searched', 4])
    const exact = { ...apart(), rows: apart().rows.map(row => ({ ...row, exact: true })) }
    const known = plainProblem(
      exact.levers,
      [
        { exact: true, of: sum(0, 1, 0) },
        { exact: true, of: sum(0, 1, 1) },
      ],
      exact.targets,
    )
    const proved = search(known)
    expect([proved.outcome, proved.evidence, proved.x![0], proved.tried]).toEqual([
      'conflict',
      'proved',
      4,
      'every setting was worked out',
    ])
  })
  test('in a box that holds no setting still has a compromise in the whole ranges', () => {
    const boxed = { ...apart(), low: Float64Array.of(4.2, 0), high: Float64Array.of(4.4, 1) }
    const found = search(boxed)
    expect([found.outcome, found.evidence, found.x![0]]).toEqual(['conflict', 'proved', 4])
    expect(found.tried).toBe('the ranges hold no setting that could meet the musts')
  })
  test('over a narrowed box looks for its compromise outside as well', () => {
    const narrowed = { ...apart(), low: Float64Array.of(6, 0), high: Float64Array.of(10, 1) }
    expect(search(narrowed).x![0]).toBe(4)
  })
  test('without steps lies where the shortfalls are even', () => {
    const rows: PlainRow[] = [{ of: sum(0, 1, 0) }]
    const targets = [wish(0, { low: 7 }), wish(0, { high: 3 })]
    const { outcome, x } = search(plainProblem([rangeOf(0, 10, 0), rangeOf(0, 1, 0)], rows, targets, [roomiest]))
    expect([outcome, x![0]]).toEqual(['conflict', expect.closeTo(4.2, 5)])
  })
})
