import type { Flown, SearchProblem } from '../search/problem.ts'

/** A problem that writes down what is flown of it with slopes, or tightly: later questions about the same rows and levers begin from there. */
export interface Recorded {
  readonly problem: SearchProblem
  readonly flown: Flown[]
}

/** More than this is not written down: what was flown last says little that is new. */
const MOST = 400
/** Without slopes as many as a box is flown whole. */
const MOST_BARE = 400

/** Writes down the flights of a problem, after those of `flown`. */
export function recorded(problem: SearchProblem, flown: Flown[] = []): Recorded {
  let bare = flown.filter(each => each.bare).length
  let sloped = flown.length - bare
  const fly: SearchProblem['fly'] = (x, accuracy, slopes) => {
    const sample = problem.fly(x, accuracy, slopes)
    if (slopes && sloped < MOST) {
      sloped++
      flown.push({ x: x.slice(), accuracy, sample })
    } else if (!slopes && accuracy === 'tight' && bare < MOST_BARE) {
      bare++
      flown.push({ x: x.slice(), accuracy, sample, bare: true })
    }
    return sample
  }
  return { problem: { ...problem, fly }, flown }
}

/** Those with slopes. */
export function sloped(flown: readonly Flown[]): readonly Flown[] {
  return flown.filter(each => !each.bare)
}

/** A problem that takes a tight flight from those known, where slopes are not asked for: it costs nothing once more. */
export function knowing(problem: SearchProblem, flown: readonly Flown[]): SearchProblem {
  const known = new Map(
    flown.flatMap(({ x, accuracy, sample }) =>
      accuracy === 'tight' ? [[x.join(), { ...sample, work: 0 }] as const] : [],
    ),
  )
  return {
    ...problem,
    fly: (x, accuracy, slopes) =>
      (accuracy === 'tight' && !slopes && known.get(x.join())) || problem.fly(x, accuracy, slopes),
  }
}
