import { expect, test } from 'vitest'
import type { SearchProblem } from '../../solver/search/problem.ts'
import { search } from '../../solver/search/search.ts'
import { bruteForce, flyAll } from '../support/brute-search.ts'
import { onIslands } from '../support/islands.ts'
import { casesOn, randomRig } from '../support/rocket-problems.ts'
import { sequence } from '../support/vehicles.ts'

function* sheets(rigs: number): Generator<{ name: string; problem: SearchProblem; start: Float64Array }> {
  for (let seed = 1; seed <= rigs; seed++) {
    const next = sequence(seed + 900)
    for (const { name, problem } of casesOn(randomRig(seed, [24, 24]), seed, [12, 90, 400])) {
      const islands = onIslands(problem, next)
      if (islands)
        yield {
          name,
          problem: islands,
          start: Float64Array.from(problem.levers, r => r.from + next() * (r.to - r.from)),
        }
    }
  }
}

test('what is met on islands only has the answer that flying every setting gives, from one’s own starts and from another answer', () => {
  const others: string[] = []
  let solved = 0
  for (const { name, problem, start } of sheets(16)) {
    const truth = bruteForce(problem, flyAll(problem))
    for (const options of [{}, { start }]) {
      const found = search(problem, options)
      expect(found.outcome, name).toBe(truth.outcome)
      if (truth.outcome === 'conflict') continue
      solved++
      if (found.x!.some((value, l) => value !== truth.flown.x[l])) others.push(name)
    }
  }
  expect(solved).toBeGreaterThan(60)
  expect(others).toEqual([])
})
