import type { AirProperty } from '../model/expr.ts'
import type { BodyNumbers, ExponentialAir } from './plan.ts'
import { type AirState, us76, us76Slope } from './us76.ts'
import { EARTH_GRAVITY, EARTH_RADIUS } from './us76-data.ts'

/** Earth as the 1976 standard has it. */
export const EARTH: BodyNumbers = { radius: EARTH_RADIUS, gravity: EARTH_GRAVITY, air: { kind: 'us76' } }

const VACUUM: AirState = { temperature: Number.NaN, pressure: 0, density: 0, soundSpeed: Number.NaN }

const FIELDS = {
  pressure: 'pressure',
  density: 'density',
  temperature: 'temperature',
  'sound speed': 'soundSpeed',
} as const

/**
 * A body's gravity [m/s2], or its air's pressure [Pa], density [kg/m3], temperature [K] or sound speed [m/s] at an altitude [m].
 * The air reaches to its top, that included: the last row of a table is air. Without air pressure and density are 0, and temperature and sound speed NaN; so is what an exponential body does not tell, and gravity
 * from the centre down.
 */
export function airAt(body: BodyNumbers, property: AirProperty, altitude: number): number {
  if (property === 'gravity')
    return altitude > -body.radius ? body.gravity * (body.radius / (body.radius + altitude)) ** 2 : Number.NaN
  return stateAt(body, altitude)[FIELDS[property]]
}

/** Its change with altitude, per metre; at the edge of a layer that of the upper side, at the top that below it. NaN where `airAt` is. */
export function airSlope(body: BodyNumbers, property: AirProperty, altitude: number): number {
  if (property === 'gravity')
    return (-2 * body.gravity * (body.radius / (body.radius + altitude)) ** 2) / (body.radius + altitude)
  return slopeAt(body, altitude)[FIELDS[property]]
}

function stateAt({ air }: BodyNumbers, altitude: number): AirState {
  if (!air) return VACUUM
  if (air.kind === 'profile') return altitude > air.top ? VACUUM : air.state(altitude)
  return air.kind === 'us76' ? us76(altitude) : exponential(air, altitude, 1)
}

function slopeAt({ air }: BodyNumbers, altitude: number): AirState {
  if (!air) return VACUUM
  if (air.kind === 'us76') return us76Slope(altitude)
  if (air.kind === 'profile') return altitude > air.top ? VACUUM : air.slope(altitude)
  const slope = exponential(air, altitude, -1 / air.scaleHeight)
  return { ...slope, soundSpeed: 0 * slope.soundSpeed }
}

function exponential(air: ExponentialAir, altitude: number, factor: number): AirState {
  if (altitude > air.top) return VACUUM
  const share = Math.exp(-altitude / air.scaleHeight) * factor
  return {
    temperature: Number.NaN,
    pressure: air.pressure * share,
    density: air.density * share,
    soundSpeed: air.soundSpeed,
  }
}
