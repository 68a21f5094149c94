import { expect, test } from 'vitest'
import { recorded } from '../../solver/price/flown.ts'
import { nextLimit } from '../../solver/price/next-limit.ts'
import { search } from '../../solver/search/search.ts'
import { type Flown, flyAll, isMet, leastShort, marginOf } from '../support/brute-search.ts'
import { casesOn, randomRig } from '../support/rocket-problems.ts'

/** A margin no larger than this is looked at. */
const NEAR = 0.05

test('the next limit is the nearest that any setting asks for, or there is none, on invented rockets', () => {
  const wrong: string[] = []
  let [some, none] = [0, 0]
  for (let seed = 1; seed <= 6; seed++) {
    const rig = randomRig(seed, [40, 40])
    const all = { flown: null as Flown[] | null }
    for (const { name, problem } of casesOn(rig, seed, [1, 3, 12, 90, 400])) {
      const { problem: watched, flown } = recorded(problem)
      const { x, outcome } = search(watched)
      if (outcome !== 'solved' || !x || problem.aims[0]!.sense === 'roomiest') continue
      const { rows } = problem.fly(x, 'tight', false)
      const margins = problem.targets.map(target => marginOf(problem, target, rows))
      if (problem.targets.some((target, t) => !isMet(target, margins[t]!))) continue
      all.flown ??= flyAll(problem)
      for (const t of problem.targets.keys()) {
        if (margins[t]! > NEAR) continue
        const truth = leastShort(problem, all.flown, rows, t)
        const { next } = nextLimit(problem, x, t, flown)
        if (truth === null) none++
        else some++
        const same =
          truth === null ? next === null : next !== null && Math.abs(-next.margin - truth) <= 1e-6 * Math.max(1, truth)
        if (!same) wrong.push(`${name}, target ${t}: ${next ? -next.margin : 'none'} for ${truth ?? 'none'}`)
      }
    }
  }
  expect(wrong).toEqual([])
  expect(some).toBeGreaterThan(4)
  expect(none).toBeGreaterThan(4)
})

test('the next limit among few settings is the nearest to the very setting, with flights known before and without', () => {
  const wrong: string[] = []
  let [some, none] = [0, 0]
  for (let seed = 1; seed <= 4; seed++)
    for (const steps of [[11, 10], [7, 7, 7], [100]])
      for (const { name, problem } of casesOn(randomRig(seed, steps), seed, [1, 12, 60])) {
        const { problem: watched, flown } = recorded(problem)
        const { x, outcome } = search(watched)
        if (outcome !== 'solved' || problem.aims[0]!.sense === 'roomiest') continue
        const { rows } = problem.fly(x!, 'tight', false)
        if (problem.targets.some(target => !isMet(target, marginOf(problem, target, rows)))) continue
        const all = flyAll(problem)
        for (const t of problem.targets.keys()) {
          const truth = leastShort(problem, all, rows, t)
          if (truth === null) none++
          else some++
          for (const known of [flown, []]) {
            const { next } = nextLimit(problem, x!, t, known)
            const short = next && -next.margin
            const same = truth === null ? next === null : short !== null && Math.abs(short - truth) <= 1e-9
            if (!same) wrong.push(`${name}, target ${t}: ${short ?? 'none'} for ${truth ?? 'none'}`)
          }
        }
      }
  expect(wrong).toEqual([])
  expect(Math.min(some, none)).toBeGreaterThan(10)
})
