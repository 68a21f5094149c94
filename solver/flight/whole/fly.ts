import { TOLERANCES } from '../fly.ts'
import type { Accuracy } from '../plan.ts'
import { fallAlone } from './fall.ts'
import { standOnPad } from './pad.ts'
import type { WholeDirection, WholePlan } from './plan.ts'
import { Voyage } from './voyage.ts'
import type { End, Observer } from './way.ts'

/** Steps that one flight may try. */
const STEP_LIMIT = 40000

/** How far a flight is followed. */
export type Reach = 'to apoapsis' | 'to the ground' | 'with what it drops'

/** One flown flight: `figures[i]` is that of `figureNames`, NaN where there is none; `slopes[i * lanes + l]` its derivative along direction l. */
export interface WholeFlown {
  readonly outcome: End
  readonly figures: Float64Array
  readonly slopes: Float64Array
  readonly evaluations: number
}

/**
 * Flies any plan without fault (see `wholeFault`) in the plane, stage after stage, to its apoapsis, to the ground, or to where all of it lies, with the derivatives
 * of its figures along each direction. Equations: forces.ts; definitions: DEVELOPERS.md, "The whole flight".
 */
export function flyWhole(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  accuracy: Accuracy,
  reach: Reach,
): WholeFlown {
  return flyWholeAt(plan, directions, TOLERANCES[accuracy], reach, null)
}

/** The same at any relative tolerance, told to an observer. */
export function flyWholeAt(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  tolerance: number,
  reach: Reach,
  observer: Observer | null,
): WholeFlown {
  const voyage = new Voyage(plan, directions, tolerance, reach !== 'to apoapsis', observer)
  let outcome = voyage.fly(STEP_LIMIT)
  const { figures, slopes } = voyage.ledger
  if (outcome !== 'never leaves the pad') {
    voyage.log.putPeaks()
    if (!voyage.log.sound()) outcome = 'could not be flown'
  }
  if (reach === 'with what it drops') for (const dropped of voyage.log.dropped) fallAlone(voyage, dropped, STEP_LIMIT)
  if (outcome === 'could not be flown')
    return { outcome, figures: figures.fill(Number.NaN), slopes: slopes.fill(0), evaluations: voyage.craft.evaluations }
  return { outcome, figures, slopes, evaluations: voyage.craft.evaluations }
}

/** Whether thrust passes weight before the first stage is spent, so that the flight leaves the pad. */
export function leavesPadWhole(plan: WholePlan): boolean {
  return standOnPad(new Voyage(plan, [], TOLERANCES.loose, false, null))
}
