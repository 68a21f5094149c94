import { expect, test } from 'vitest'
import type { SearchProblem, SearchResult } from '../../solver/search/problem.ts'
import { search } from '../../solver/search/search.ts'
import { jumpingAims, jumpingTargets } from '../support/jumping-aims.ts'

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
function cost(problem: SearchProblem): {
  readonly looks: number
  readonly sloped: number
  readonly found: SearchResult
} {
  let [looks, sloped] = [0, 0]
  const found = search({
    ...problem,
    algebra: (x, slopes) => {
      looks++
      if (slopes !== false) sloped++
      return problem.algebra(x, slopes)
    },
  })
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

test('settings that no flight is spent on are gone through without slopes', () => {
  for (const { problem } of jumpingAims(7, [200, 20], [100, 1000])) {
    const { looks, sloped } = cost(problem)
    expect(looks).toBeGreaterThan(201 * 21)
    expect(sloped).toBeLessThan((201 * 21) / 10)
  }
})
