import { isFew } from '../search/few.ts'
import { restOf } from '../search/idle.ts'
import { type Levers, leversOf } from '../search/levers.ts'
import type { Accuracy, Sample, SearchProblem } from '../search/problem.ts'
import type { Watch } from '../search/run.ts'
import { allowanceOf, errorUnits, figureIn, marginIn } from './judged.ts'
import { type Mask, NONE, type Together } from './sets.ts'

/** How far a loosely flown figure may be off, as a share of its limit: three times the worst that was seen. */
const LOOSE_ERROR = 0.01

/**
 * Looks at every setting of the whole ranges (all levers have steps) and tells `together` which musts are met there. A setting whose
 * algebra leaves nothing new to learn is not flown; one that could teach something is flown loosely, and tightly where a
 * margin is too near zero to tell; where there are few, tightly at once. Afterwards what `together` does not cover is impossible,
 * unless `watch` ended it before the last setting (`whole` false). Gives the work of the flights.
 */
export function tabulate(
  problem: SearchProblem,
  musts: readonly number[],
  together: Together,
  watch: Watch,
): { readonly whole: boolean; readonly work: number } {
  const targets = musts.map(t => problem.targets[t]!)
  const exact = targets.map(target => target.rows.every(row => problem.rows[row]!.exact))
  const loose = !exact.every(Boolean) && !isFew(leversAwake(problem, ...endsOf(problem)))
  let [work, flights] = [0, 0]
  const fly = (x: Float64Array, accuracy: Accuracy): Sample => {
    const sample = problem.fly(x, accuracy, false)
    work += sample.work
    flights++
    return sample
  }
  /** The musts that are met, or may be, where figures are off by up to `share` of their limits; without flown ones these may be. */
  const mayBeMet = (sample: Sample, share: number, flown: boolean): Mask => {
    let mask = NONE
    for (const [place, target] of targets.entries()) {
      const bit = 1n << BigInt(place)
      if (!flown && !exact[place]) {
        mask |= bit
        continue
      }
      const margin = marginIn(target, figureIn(problem, target, sample))
      const error = exact[place] ? 0 : errorUnits(target, share)
      if (margin >= -allowanceOf(target) - error) mask |= bit
    }
    return mask
  }
  const whole = eachSetting(problem, x => {
    const known = mayBeMet(problem.algebra(x), 0, false)
    if (together.covers(known)) return true
    if (!loose || !together.covers(mayBeMet(fly(x, 'loose'), LOOSE_ERROR, true)))
      together.add(mayBeMet(fly(x, 'tight'), 0, true))
    return watch(flights)
  })
  return { whole, work }
}

/** Calls back with the lever values of every setting of the ranges, idle levers at rest, while it gives true; whether it did to the last. */
function eachSetting({ levers, idle }: SearchProblem, visit: (x: Float64Array) => boolean): boolean {
  const settings = levers.map((range, l) =>
    idle?.[l] ? Float64Array.of(restOf(range, range.from, range.to)) : range.settings!,
  )
  const k = new Int32Array(levers.length)
  const x = Float64Array.from(settings, all => all[0]!)
  for (;;) {
    if (!visit(x)) return false
    let l = levers.length - 1
    while (l >= 0 && ++k[l]! >= settings[l]!.length) {
      k[l] = 0
      x[l] = settings[l]![0]!
      l--
    }
    if (l < 0) return true
    x[l] = settings[l]![k[l]!]!
  }
}

/** How many settings the whole ranges hold, idle levers apart; infinite where a lever has no steps. */
export function settingsCount(problem: SearchProblem): number {
  return leversAwake(problem, ...endsOf(problem)).size
}

/** The ends of the whole ranges. */
function endsOf({ levers }: SearchProblem): readonly [low: Float64Array, high: Float64Array] {
  return [Float64Array.from(levers, range => range.from), Float64Array.from(levers, range => range.to)]
}

/** The levers over a box of a problem, idle ones apart. */
export function leversAwake({ levers, idle }: SearchProblem, low: Float64Array, high: Float64Array): Levers {
  const awake = (_: unknown, l: number): boolean => !idle?.[l]
  return leversOf(levers.filter(awake), low.filter(awake), high.filter(awake))
}
