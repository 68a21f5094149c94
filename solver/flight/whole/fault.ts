import { planFault } from '../fault.ts'
import type { WholePlan } from './plan.ts'

interface Named {
  readonly name: string
}

/** What is wrong with a whole plan's numbers, in a sentence, or null: `flyWhole` takes only plans without fault. `names`: its stages and parachutes. */
export function wholeFault(
  plan: WholePlan,
  { stages: named, canopies }: { readonly stages: readonly Named[]; readonly canopies: readonly Named[] },
): string | null {
  const several = plan.stages.length > 1
  for (let index = 0; index < plan.stages.length; index++) {
    const stage = plan.stages[index]!
    const one = {
      body: plan.body,
      launchAltitude: plan.launchAltitude,
      stages: [stage],
      restarts: plan.restarts[index]!,
    }
    const fault = planFault(one)
    if (fault) return several ? `${fault} (${named[index]!.name})` : fault
    if (!(stage.separationDelay >= 0) || !(stage.ignitionDelay >= 0))
      return `a delay of "${named[index]!.name}" is below zero`
  }
  return railFault(plan) ?? canopyFault(plan, canopies)
}

function railFault({ railElevation, railLength, noseRadius }: WholePlan): string | null {
  if (!(railElevation > 0 && railElevation <= Math.PI / 2))
    return 'the rail elevation is not above 0 deg and at most 90 deg'
  if (!(railLength >= 0)) return 'the rail length is below zero'
  if (railElevation < Math.PI / 2 && railLength === 0) return 'a rail that leans needs a length above zero'
  return noseRadius >= 0 ? null : 'the nose radius is below zero'
}

function canopyFault({ canopies }: WholePlan, names: readonly Named[]): string | null {
  for (const [index, { area, altitude, fillTime, safeQ, safeSpeed }] of canopies.entries()) {
    const { name } = names[index]!
    if (!(area >= 0)) return `the canopy of "${name}" has an area or coefficient below zero`
    if (!Number.isFinite(altitude)) return `the opening altitude of "${name}" is not a finite number`
    if (!(fillTime >= 0)) return `the fill time of "${name}" is below zero`
    if (!(safeQ > 0)) return `the safe q of "${name}" is not above zero`
    if (!(safeSpeed > 0)) return `the safe speed of "${name}" is not above zero`
  }
  return null
}
