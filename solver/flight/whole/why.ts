import { NOT_FLOWN } from '../why.ts'
import type { FigureName } from './figures.ts'
import type { WholePlan } from './plan.ts'

/** Why a flight has no value for a figure, in words to follow "because"; for figures that are NaN. */
export function whyNoneWhole(figure: FigureName, plan: WholePlan, outcome: string): string {
  if (outcome === 'could not be flown') return NOT_FLOWN
  const { name, of, index } = figure
  if (name === 'rail exit speed' && plan.railLength === 0) return 'this flight has no rail'
  if (outcome === 'never leaves the pad') return 'the rocket never leaves the pad'
  if (name === 'rail exit speed') return 'the rail is not run to its end'
  if (name.includes('heat')) return whyNoHeat(plan, name)
  if (name === 'max mach' || name.startsWith('max q')) return 'the flight stays where no air tells it'
  if (name.includes('crew margin') && !plan.crewLimit) return 'no crew limit is given'
  if (of === 'stage') {
    if (name === 'downrange' || name === 'flight time' || name === 'touchdown speed') {
      const away = outcome === 'escapes' || outcome === 'goes into orbit'
      return away && index + 1 < plan.stages.length
        ? 'this stage does not come down'
        : 'this stage is not dropped in this flight'
    }
    return plan.stages[index]!.propellantMass > 0 ? 'it does not burn out before touchdown' : 'it has no propellant'
  }
  if (name === 'burn time' || name.startsWith('burnout') || name.endsWith('loss'))
    return 'nothing burns out before touchdown'
  if (outcome === 'escapes') return 'the rocket escapes, so there is no highest point and no way down'
  if (outcome === 'goes into orbit') return 'the flight does not come down'
  if (of === 'canopy') {
    if (plan.canopies[index]!.altitude <= plan.launchAltitude) return 'the flight hits the ground before it may open'
    return 'it never opens in this flight'
  }
  return 'this flight has no such figure'
}

function whyNoHeat({ noseRadius, heating }: WholePlan, name: string): string {
  if (!(noseRadius > 0)) return 'no nose radius is given'
  return heating > 0 ? `this flight has no ${name}` : "the heating constant of this body's air is not known"
}
