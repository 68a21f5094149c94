import type { Flown, SearchProblem } from '../search/problem.ts'

/** A problem that writes down what is flown of it with slopes: later questions about the same rows and levers begin from there. */
export interface Recorded {
  readonly problem: SearchProblem
  readonly flown: Flown[]
}

/** More than this is not written down: what was flown last says little that is new. */
const MOST = 400

/** Writes down the flights of a problem, after those of `flown`. */
export function recorded(problem: SearchProblem, flown: Flown[] = []): Recorded {
  const fly: SearchProblem['fly'] = (x, accuracy, slopes) => {
    const sample = problem.fly(x, accuracy, slopes)
    if (slopes && flown.length < MOST) flown.push({ x: x.slice(), accuracy, sample })
    return sample
  }
  return { problem: { ...problem, fly }, flown }
}
