import { describe, expect, test } from 'vitest'
import { search } from '../../solver/search/search.ts'
import { casesOn, randomRig } from '../support/rocket-problems.ts'

/** Wanted numbers of feasible settings: a handful, tens, hundreds, none. */
const CLASSES = [1, 3, 12, 90, 400, 0]

/** Sheets on invented rockets with two levers in steps, each with what brute force over every setting says. */
function cases(seed: number) {
  return casesOn(randomRig(seed, [40, 40]), seed, CLASSES)
}

describe('the search over two levers in steps', () => {
  test('says what brute force over every setting says, and finds its settings', () => {
    const wrong: string[] = []
    let [total, exact, conflicts] = [0, 0, 0]
    for (let seed = 1; seed <= 24; seed++)
      for (const { name, problem, truth } of cases(seed)) {
        const found = search(problem)
        total++
        if (found.outcome !== truth.outcome)
          wrong.push(`${name}: ${found.outcome} for ${truth.outcome}, ${truth.feasible} feasible`)
        else if (truth.outcome === 'conflict') conflicts++
        else if (found.x!.every((x, l) => x === truth.flown.x[l])) exact++
      }
    expect(wrong).toEqual([])
    expect(total).toBeGreaterThan(100)
    expect(conflicts).toBeGreaterThan(10)
    // Separate places with nearly the same aim may tie; all but one in a hundred are the very settings.
    expect(exact / (total - conflicts)).toBeGreaterThanOrEqual(0.99)
  })
})
