import type { Flown, FlownName, Plan } from './plan.ts'

/** Why a flight that could not be flown has no figures. */
export const NOT_FLOWN =
  'this flight could not be integrated to the asked accuracy: its numbers are too extreme, or its drag coefficient jumps so far at a mach number that the rocket is held there'

/** Why a flight has no value for a figure, in words to follow "because"; for figures that are NaN. */
export function whyNone(name: FlownName, plan: Plan, flown: Flown): string {
  if (flown.outcome === 'could not be flown') return NOT_FLOWN
  if (name === 'max mach' || name.startsWith('max q')) return whyNoAir(name, plan, flown)
  if (flown.outcome === 'escapes') return 'the rocket escapes, so there is no highest point'
  if (flown.outcome === 'never leaves the pad') {
    if (name.endsWith('coasting')) return 'the rocket never leaves the pad, so it does not coast'
    if (!(plan.stages[0]!.propellantMass > 0)) return 'there is no propellant, so nothing burns out'
  }
  return 'this flight has no such figure'
}

function whyNoAir(name: FlownName, { body, launchAltitude }: Plan, flown: Flown): string {
  if (flown.outcome === 'never leaves the pad' && name.endsWith('coasting'))
    return 'the rocket never leaves the pad, so it does not coast'
  const so = name === 'max mach' ? 'there is no mach number' : 'its dynamic pressure is zero everywhere'
  if (!body.air) return `this body has no air, so ${so}`
  if (body.air.kind === 'exponential') {
    if (launchAltitude >= body.air.top) return `the flight stays above the air, so ${so}`
    if (name === 'max mach') return "this body's air has no sound speed, so there is no mach number"
  }
  return `the flight stays above the air, so ${so}`
}
