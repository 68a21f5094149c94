import { expect, test } from 'vitest'
import { begin } from '../../solver/search/hunt.ts'
import { leversOf } from '../../solver/search/levers.ts'
import type { SearchProblem, SearchResult } from '../../solver/search/problem.ts'
import { type Promising, promising } from '../../solver/search/promising.ts'
import { TIGHT } from '../../solver/search/samples.ts'
import { type SearchOptions, search } from '../../solver/search/search.ts'
import { isUneven } from '../../solver/search/survey.ts'
import { jumpingAims, jumpingTargets } from '../support/jumping-aims.ts'
import { plainProblem, sum, wish } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'
import { sequence } from '../support/vehicles.ts'

/** The sheets in which the search has other settings than flying every one gives, or another compromise; and how many of each outcome there were. */
function compare(
  cases: typeof jumpingAims,
  steps: readonly number[],
  rigs: readonly number[],
): { readonly others: readonly string[]; readonly solved: number; readonly conflicts: number } {
  const settings = steps.reduce((all, count) => all * (count + 1), 1)
  const wanted = [settings / 40, settings / 6, settings / 2, 0]
  const others: string[] = []
  let [solved, conflicts] = [0, 0]
  for (const { name, problem, truth } of rigs.flatMap(rig => cases(rig, steps, wanted))) {
    const found = search(problem)
    if (truth.outcome === 'solved') solved++
    else conflicts++
    if (found.outcome !== truth.outcome) others.push(`${name}: ${found.outcome}`)
    else if (found.x!.some((value, l) => value !== truth.flown.x[l])) others.push(name)
  }
  return { others, solved, conflicts }
}

test.each([
  { what: 'an aim', cases: jumpingAims, steps: [80, 4], rigs: [1, 3, 7, 13] },
  { what: 'an aim', cases: jumpingAims, steps: [40, 40], rigs: [3, 7] },
  { what: 'a target', cases: jumpingTargets, steps: [80, 4], rigs: [19, 20, 21] },
  { what: 'a target', cases: jumpingTargets, steps: [40, 40], rigs: [4, 5] },
])(
  '$what of algebra that jumps has the settings that flying every one gives, in $steps steps',
  ({ cases, steps, rigs }) => {
    const { others, solved, conflicts } = compare(cases, steps, rigs)
    expect(others).toEqual([])
    expect(solved).toBeGreaterThan(2)
    expect(conflicts).toBeGreaterThan(0)
  },
)

/** A search with how often it looked at algebra, in all and for slopes. */
function cost(
  problem: SearchProblem,
  options: SearchOptions = {},
): {
  readonly looks: number
  readonly sloped: number
  readonly found: SearchResult
} {
  let [looks, sloped] = [0, 0]
  const found = search(
    {
      ...problem,
      algebra: (x, slopes) => {
        looks++
        if (slopes !== false) sloped++
        return problem.algebra(x, slopes)
      },
    },
    options,
  )
  return { looks, sloped, found }
}

test('a question that does not ask for the algebra that jumps is answered at the cost of one without it', () => {
  const cases = [1, 3, 7].flatMap(rig => jumpingAims(rig, [80, 4], [60, 0]))
  let surveyed = 0
  for (const { problem } of cases) {
    const even = { ...problem, rows: problem.rows.map(row => ({ ...row, uneven: false })) }
    if (cost(problem).looks > cost(even).looks) surveyed++
    expect(cost({ ...problem, aims: [] })).toEqual(cost({ ...even, aims: [] }))
  }
  // The same sheets with their aim are gone through, setting by setting.
  expect(surveyed).toBeGreaterThan(3)
})

test('no more than 50,000 settings are gone through for what jumps', () => {
  const uneven = (...steps: readonly number[]): boolean => {
    const smooth = plainProblem(
      steps.map(count => rangeOf(0, 1, count)),
      [{ of: sum(0, 1, 1) }],
      [wish(0, { low: 1 })],
    )
    const problem = { ...smooth, rows: smooth.rows.map(row => ({ ...row, uneven: true })) }
    const levers = leversOf(problem.levers, problem.low, problem.high)
    const terms = { limit: Number.POSITIVE_INFINITY, any: false, local: false, watch: null }
    return isUneven(begin(problem, levers, terms).run)
  }
  expect([uneven(249, 199), uneven(249, 200), uneven(9, 0)]).toEqual([true, false, false])
})

test('who takes any settings that meet the musts does not pay for the closest compromise of all ranges', () => {
  const [steps, settings] = [[80, 4], 81 * 5]
  let conflicts = 0
  for (const { problem, truth } of [19, 20, 21].flatMap(rig => jumpingTargets(rig, steps, [0]))) {
    if (truth.outcome === 'solved') continue
    // As if the first settings of a lever had been found to meet no must.
    const low = problem.low.map((from, l) => (l === 0 ? problem.levers[0]!.settings![2]! : from))
    const [any, best] = [cost({ ...problem, low }, { any: true }), cost({ ...problem, low })]
    expect(any.found.outcome).toBe('conflict')
    expect(best.looks - any.looks).toBeGreaterThan(settings / 2)
    conflicts++
  }
  expect(conflicts).toBeGreaterThan(1)
})

test('settings that no flight is spent on are gone through without slopes', () => {
  for (const { problem } of jumpingAims(7, [200, 20], [100, 1000])) {
    const { looks, sloped } = cost(problem)
    expect(looks).toBeGreaterThan(201 * 21)
    expect(sloped).toBeLessThan((201 * 21) / 10)
  }
})

test('what an aim leaves open is the same whether its settings are worked out once or with every lever', () => {
  const next = sequence(11)
  for (let run = 0; run < 20; run++) {
    const steps = [7, 1 + Math.floor(6 * next()), 3]
    const hangs = steps.map(() => next() < 0.5)
    const prices = Array.from({ length: 8 }, () => Array.from({ length: 8 }, () => Math.floor(6 * next())))
    const priceAt = (x: Float64Array): number => {
      const [a, b, c] = Array.from(x, (share, l) => (hangs[l] ? Math.round(share * steps[l]!) : 0))
      return prices[a!]![b!]! + c!
    }
    const open = (reach: readonly boolean[]): readonly Promising[] => {
      const problem = plainProblem(
        steps.map(count => rangeOf(0, 1, count)),
        [{ exact: true, reach, of: x => [priceAt(x), 0, 0, 0] }, { of: sum(0, 1, 1, 1) }],
        [wish(1, { high: 9 })],
        [{ sense: 'least', row: 0 }, { sense: 'roomiest' }],
      )
      const levers = leversOf(problem.levers, problem.low, problem.high)
      const hunt = begin(problem, levers, { limit: Number.POSITIVE_INFINITY, any: false, local: false, watch: null })
      // Any setting meets the target: the best so far has some price, and what costs more is out.
      hunt.run.samples.flySetting(Int32Array.of(3, 0, 1), TIGHT)
      expect(hunt.run.samples.flawless).toBe(true)
      return promising(hunt.run)
    }
    expect(open(hangs)).toEqual(open([true, true, true]))
  }
})
