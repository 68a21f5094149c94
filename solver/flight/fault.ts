import { curveEnd } from '../model/curve.ts'
import type { BodyNumbers, Plan, StageNumbers } from './plan.ts'
import { AIR_FLOOR } from './us76-data.ts'

/** What is wrong with a plan's numbers, in a sentence, or null: `fly` takes only plans without fault. */
export function planFault(plan: Plan): string | null {
  if (plan.stages.length !== 1) return `a flight has one stage, not ${plan.stages.length}`
  return bodyFault(plan.body) ?? launchFault(plan) ?? stageFault(plan.stages[0]!) ?? dragFault(plan)
}

/** What is wrong with a body's numbers, in words, or null. */
export function bodyFault({ radius, gravity, air }: BodyNumbers): string | null {
  const fault = above(radius, "the body's radius") ?? above(gravity, "the body's surface gravity")
  if (fault || !air || air.kind === 'us76') return fault
  if (air.kind === 'profile') return air.fault ?? null
  return (
    notBelow(air.pressure, 'the surface pressure') ??
    notBelow(air.density, 'the surface density') ??
    above(air.scaleHeight, 'the scale height') ??
    (Number.isNaN(air.soundSpeed) ? null : above(air.soundSpeed, 'the sound speed')) ??
    above(air.top, 'the atmosphere top')
  )
}

function launchFault({ body, launchAltitude }: Plan): string | null {
  const fault = finite(launchAltitude, 'the launch altitude')
  if (fault) return fault
  if (launchAltitude <= -body.radius) return "the launch altitude is at or below the body's centre"
  if (body.air?.kind === 'us76' && launchAltitude < AIR_FLOOR)
    return 'the launch altitude is more than 5 km below sea level, where the standard air is not defined'
  if (body.air?.kind === 'profile' && launchAltitude < body.air.floor)
    return "the launch altitude is below the lowest altitude for which the body's air is told"
  return null
}

function stageFault(stage: StageNumbers): string | null {
  return (
    above(stage.dryMass, 'the dry mass') ??
    notBelow(stage.propellantMass, 'the propellant mass') ??
    above(stage.vacuumThrust, 'the vacuum thrust') ??
    notBelow(stage.seaLevelThrust, 'the sea level thrust') ??
    (stage.seaLevelThrust > stage.vacuumThrust ? 'the sea level thrust is above the vacuum thrust' : null) ??
    above(stage.exhaustSpeed, 'the specific impulse') ??
    above(stage.throttleCap, 'the throttle cap') ??
    notBelow(stage.referenceArea, 'the reference area')
  )
}

function dragFault({ body, stages }: Plan): string | null {
  const { drag } = stages[0]!
  for (const c of drag.coefficients) {
    if (!Number.isFinite(c)) return 'the drag coefficient is not a finite number'
  }
  const pieces = Math.max(1, drag.knots.length - 1)
  for (let k = 0; k < pieces; k++) {
    if (drag.coefficients[4 * k]! < 0) return 'the drag coefficient is below zero'
  }
  if (drag.knots.length > 1 && curveEnd(drag) < 0) return 'the drag coefficient is below zero'
  const hangsOnMach = drag.coefficients.some((c, k) => c !== (k % 4 === 0 ? drag.coefficients[0] : 0))
  if (hangsOnMach && body.air && !tellsSound(body.air))
    return "the drag coefficient hangs on mach, but the body's air has no sound speed"
  return null
}

function tellsSound(air: NonNullable<BodyNumbers['air']>): boolean {
  if (air.kind === 'profile') return air.tellsSound
  return air.kind === 'us76' || air.soundSpeed > 0
}

function finite(value: number, name: string): string | null {
  return Number.isFinite(value) ? null : `${name} is not a finite number`
}

function above(value: number, name: string): string | null {
  return finite(value, name) ?? (value > 0 ? null : `${name} is not above zero`)
}

function notBelow(value: number, name: string): string | null {
  return finite(value, name) ?? (value >= 0 ? null : `${name} is below zero`)
}
