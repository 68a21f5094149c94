import { NEVER, Points } from './points.ts'
import { isOut, promising } from './promising.ts'
import type { Run } from './run.ts'

/** More settings than this are not gone through: their algebra takes 1.3 µs each, so that many make a solve ten times as long. */
const MOST_SURVEYED = 50_000
const MOST_POINTS = 300
const MOST_ROUNDS = 6

/**
 * Whether algebra that the targets or aims of this search hang on may jump, so that what is known of a setting tells nothing of its neighbours, and all
 * of them can be gone through. A question about some musts of a sheet has all rows of the sheet, those that it does not ask for too.
 */
export function isUneven({ frame }: Run): boolean {
  const { problem, levers } = frame
  if (!(levers.size <= MOST_SURVEYED)) return false
  const asked = [
    ...problem.targets.flatMap(target => target.rows),
    ...problem.aims.flatMap(aim => (aim.sense === 'roomiest' ? [] : [aim.row])),
  ]
  return asked.some(row => problem.rows[row]!.uneven === true)
}

/**
 * Looks for a setting better than the best wherever it lies. Settling goes from cell to cell by slopes, which tell of no jump; here the algebra of every
 * setting is worked out, and what is flown foretold where algebra promises enough: those that may win by both are flown, what promises most first, and all
 * are heard again until what was learnt opens none. True where nothing was cut short.
 */
export function survey(run: Run): boolean {
  const { frame, samples, model } = run
  const points = new Points(run)
  const waiting = promising(run).map(({ k, key }) => ({ place: points.place(k), key }))
  const heard = new Int32Array(waiting.length).fill(NEVER)
  let spent = 0
  for (let round = 0; round < MOST_ROUNDS; round++) {
    let flown = 0
    for (const [i, { place, key }] of waiting.entries()) {
      // What was dismissed stays so while nothing is learnt: the best has only got better.
      if (heard[i] === model.lessons || points.done(place)) continue
      if (samples.best >= 0 && isOut(frame, key, samples.bestKey)) continue
      if (run.spent || spent + flown >= MOST_POINTS) return false
      flown += points.try(place)
      heard[i] = model.lessons
    }
    if (flown === 0) return true
    spent += flown
  }
  return false
}
