import { bestRatio, bestRatioSlope, type Pad } from './pad.ts'
import { PLACE } from './places.ts'
import type { FlownName, Plan } from './plan.ts'
import { startsInAir, tellsMach } from './tells.ts'

/** Below this thrust over weight a flight that stays on the pad counts as that much lower in `apoapsis energy` [m per 1]. */
export const PAD_DEPTH = 20000

/** The figures of a rocket that never leaves the pad; where nothing burns there is no burnout. */
export function stayOnPad(
  plan: Plan,
  pad: Pad,
  changes: readonly Pad[],
  figures: Float64Array,
  slopes: Float64Array,
): void {
  const lanes = changes.length
  const { radius, gravity } = plan.body
  const burns = plan.stages[0]!.propellantMass > 0
  const set = (name: FlownName, value: number, slope: ((change: Pad) => number) | null): void => {
    figures[PLACE[name]] = value
    if (!slope) return
    changes.forEach((change, lane) => {
      slopes[PLACE[name] * lanes + lane] = slope(change)
    })
  }
  const altitude = (change: Pad): number => change.launchAltitude
  const felt = (change: Pad): number => change.gravity
  for (const name of STILL) set(name, 0, null)
  set('peak g', pad.gravity, felt)
  set('peak g burning', pad.gravity, felt)
  set('apoapsis', pad.launchAltitude, altitude)
  const share = radius / (radius + pad.launchAltitude)
  const ratio = bestRatio(pad)
  const short = burns || ratio < 1
  set('apoapsis energy', share * pad.launchAltitude - (short ? PAD_DEPTH * (1 - ratio) : 0), change => {
    const depth = short ? PAD_DEPTH * bestRatioSlope(pad, change) : 0
    return share * share * change.launchAltitude + depth
  })
  if (startsInAir(plan)) set('max q altitude', pad.launchAltitude, altitude)
  if (startsInAir(plan) && tellsMach(plan.body)) set('max mach', 0, null)
  if (!burns) return
  set('burnout altitude', pad.launchAltitude, altitude)
  set('burnout speed', 0, null)
  const weight = pad.dryMass * gravity
  const burnout = pad.padThrust / weight
  set('burnout ratio', burnout, change => (change.padThrust - burnout * change.dryMass * gravity) / weight)
}

/** What is zero where nothing moves. */
export const STILL: readonly FlownName[] = [
  'max q',
  'max q burning',
  'max speed',
  'apoapsis time',
  'apoapsis speed',
  'gravity loss',
  'drag loss',
  'back pressure loss',
]
