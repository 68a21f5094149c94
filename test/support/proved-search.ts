import type { SearchProblem } from '../../solver/search/problem.ts'
import { search } from '../../solver/search/search.ts'
import type { BruteAnswer } from './brute-search.ts'

/** What is wrong with an answer; nothing where it is brute force's, to the setting and in a conflict too. */
export function wrongOf(problem: SearchProblem, truth: BruteAnswer): string {
  const { outcome, evidence, x } = search(problem)
  if (outcome !== truth.outcome) return `${outcome} for ${truth.outcome}`
  if (outcome === 'solved' && evidence !== 'proved') return 'not proved'
  return x!.every((value, l) => value === truth.flown.x[l]) ? '' : `${x} for ${truth.flown.x}`
}
