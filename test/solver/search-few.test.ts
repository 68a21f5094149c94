import { describe, expect, test } from 'vitest'
import { bruteForce, flyAll } from '../support/brute-search.ts'
import { onIslands } from '../support/islands.ts'
import { lateIgnition, searchOf } from '../support/late-ignition.ts'
import { wrongOf } from '../support/proved-search.ts'
import { casesOn, randomRig } from '../support/rocket-problems.ts'
import { sequence } from '../support/vehicles.ts'

/** Lattices of few settings, up to as many as there may be. */
const SHAPES = [[30], [149], [6, 6], [14, 9], [4, 4, 4], [6, 6, 7], [3, 3, 3, 3], [4, 4, 3, 3]]

describe('a box of few settings is answered as by flying every one, the compromise of a conflict too', () => {
  test.each(SHAPES.map(steps => ({ steps })))('on invented rockets, levers in $steps steps', ({ steps }) => {
    const wrong: string[] = []
    const met = { solved: 0, conflict: 0 }
    const size = steps.reduce((all, count) => all * (count + 1), 1)
    for (let seed = 1; seed <= 6; seed++)
      for (const { name, problem, truth } of casesOn(randomRig(seed, steps), seed, [1, 4, Math.ceil(size / 3), 0])) {
        met[truth.outcome]++
        const told = wrongOf(problem, truth)
        if (told !== '') wrong.push(`${name}: ${told}`)
      }
    expect(wrong).toEqual([])
    expect(Math.min(met.solved, met.conflict)).toBeGreaterThan(2)
  })
  test('where musts are met on islands only', () => {
    const wrong: string[] = []
    let tried = 0
    for (let seed = 1; seed <= 30; seed++) {
      const next = sequence(seed + 70)
      for (const { name, problem } of casesOn(randomRig(seed, [13, 9]), seed, [30, 90])) {
        const islands = onIslands(problem, next)
        if (!islands) continue
        tried++
        const told = wrongOf(islands, bruteForce(islands, flyAll(islands)))
        if (told !== '') wrong.push(`${name}: ${told}`)
      }
    }
    expect(wrong).toEqual([])
    expect(tried).toBeGreaterThan(40)
  })
  test('where a stage is lit very late', () => {
    const wrong: string[] = []
    let solved = 0
    for (let seed = 1; seed <= 24; seed++) {
      const problem = searchOf(lateIgnition(seed, seed % 3 === 0))
      const truth = bruteForce(problem, flyAll(problem))
      if (truth.outcome === 'solved') solved++
      const told = wrongOf(problem, truth)
      if (told !== '') wrong.push(`${seed}: ${told}`)
    }
    expect(wrong).toEqual([])
    expect(solved).toBeGreaterThan(12)
  })
})
