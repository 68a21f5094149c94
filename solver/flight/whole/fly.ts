import { TOLERANCES } from '../fly.ts'
import type { Accuracy } from '../plan.ts'
import { fallAlone, leaveOnPad } from './fall.ts'
import { standOnPad } from './pad.ts'
import type { WholeDirection, WholePlan } from './plan.ts'
import { Voyage } from './voyage.ts'
import type { End, Observer } from './way.ts'

/** Steps that one flight may try. */
const STEP_LIMIT = 40000

/** What comes down nearer than this [m] may hit what has landed. */
const FALL_RADIUS = 500

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
  if (reach === 'with what it drops') {
    if (outcome !== 'never leaves the pad') leaveOnPad(voyage)
    for (const dropped of voyage.log.dropped) fallAlone(voyage, dropped, STEP_LIMIT)
    if (outcome === 'comes down' && underAFall(voyage)) outcome = "lands under the booster's own fall"
  }
  if (outcome === 'could not be flown')
    return { outcome, figures: figures.fill(Number.NaN), slopes: slopes.fill(0), evaluations: voyage.craft.evaluations }
  return { outcome, figures, slopes, evaluations: voyage.craft.evaluations }
}

/** Whether a flight that has come down by parachute lies where one of its stages, still falling, comes down after it. */
function underAFall({ ledger, plan, log }: Voyage): boolean {
  const [time, place] = [ledger.at('flight time'), ledger.at('downrange')]
  return (
    plan.canopies.length > 0 &&
    log.dropped.some(
      ({ stage }) =>
        ledger.atStage(stage, 'flight time') > time &&
        Math.abs(ledger.atStage(stage, 'downrange') - place) < FALL_RADIUS,
    )
  )
}

/** Whether thrust passes weight before the first stage is spent, so that the flight leaves the pad. */
export function leavesPadWhole(plan: WholePlan): boolean {
  return standOnPad(new Voyage(plan, [], TOLERANCES.loose, false, null))
}
