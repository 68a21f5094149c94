import type { BodyNumbers, Plan } from './plan.ts'
import { AIR_TOP } from './us76-data.ts'

/** Whether the body's air tells a sound speed. */
export function tellsMach({ air }: BodyNumbers): boolean {
  if (air?.kind === 'profile') return air.tellsSound
  return air !== null && (air.kind === 'us76' || air.soundSpeed > 0)
}

/** Whether there is air on the pad; where not, there is none further up. */
export function startsInAir({ body, launchAltitude }: Pick<Plan, 'body' | 'launchAltitude'>): boolean {
  if (!body.air) return false
  return launchAltitude < (body.air.kind === 'us76' ? AIR_TOP : body.air.top)
}
