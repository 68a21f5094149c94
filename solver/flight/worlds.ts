import type { BuiltInBody } from '../model/model.ts'
import { EARTH } from './air.ts'
import type { BodyNumbers } from './plan.ts'
import { profileOf } from './profile.ts'
import type { AirState } from './us76.ts'

// Mean radius: IAU WGCCRE 2015; gravity: GM 4.2828376e13 m3/s2 (JPL DE430) over its square.
const RADIUS = 3389500
const GRAVITY = 4.2828376e13 / RADIUS ** 2

// The Mars atmosphere model of NASA's Glenn Research Center (metric units; from memory): two temperature zones, one pressure curve, ρ = p / (192.1 T).
const EDGE = 7000 // m
const GAS = 192.1 // J/(kg K)
const ICE = 273.1 // K, as the model has it
const PRESSURE = 699 // Pa
const FALL = 0.00009 // 1/m
/** Ratio of specific heats of carbon dioxide (from memory). */
const HEAT_RATIO = 1.29
/** Beyond this altitude [m] the model's temperature runs away and hardly any air is left. */
const TOP = 80000

function temperature(altitude: number, lower: boolean): number {
  return ICE + (lower ? -31 - 0.000998 * altitude : -23.4 - 0.00222 * altitude)
}

function stateIn(altitude: number, lower: boolean): AirState {
  const warmth = temperature(altitude, lower)
  const pressure = PRESSURE * Math.exp(-FALL * altitude)
  return {
    temperature: warmth,
    pressure,
    density: pressure / (GAS * warmth),
    soundSpeed: Math.sqrt(HEAT_RATIO * GAS * warmth),
  }
}

function slopeIn(altitude: number, lower: boolean): AirState {
  const { temperature: warmth, pressure, density, soundSpeed } = stateIn(altitude, lower)
  const lapse = lower ? -0.000998 : -0.00222
  return {
    temperature: lapse,
    pressure: -FALL * pressure,
    density: density * (-FALL - lapse / warmth),
    soundSpeed: (soundSpeed * lapse) / (2 * warmth),
  }
}

let mars: BodyNumbers | null = null

/** Mars, its air by a simple published profile; made at its first use. */
export function marsBody(): BodyNumbers {
  mars ??= {
    radius: RADIUS,
    gravity: GRAVITY,
    air: {
      kind: 'profile',
      profile: profileOf([
        { bottom: -10000, top: EDGE, state: altitude => stateIn(altitude, true) },
        { bottom: EDGE, top: TOP, state: altitude => stateIn(altitude, false) },
      ]),
      floor: -10000,
      top: TOP,
      space: TOP,
      tellsSound: true,
      turns: [EDGE, TOP],
      state: altitude => stateIn(altitude, altitude < EDGE),
      slope: altitude => slopeIn(altitude, altitude < EDGE),
    },
  }
  return mars
}

// Mean radius: IAU WGCCRE 2015; gravity: GM 4.9028001e12 m3/s2 (JPL DE430/440) over its square.
const MOON_RADIUS = 1737400

/** The Moon: no air. */
export const MOON: BodyNumbers = { radius: MOON_RADIUS, gravity: 4.9028001e12 / MOON_RADIUS ** 2, air: null }

/** A body that needs no description. */
export interface World {
  readonly numbers: () => BodyNumbers
  /** Sutton and Graves's constant K of its air in q = K √(ρ/Rₙ) V³ [kg^0.5/m]; NaN where it has none. */
  readonly heating: number
}

export const WORLDS: Readonly<Record<BuiltInBody, World>> = {
  // NASA's TFAWS course notes (2012), after NASA TR R-376 (1971).
  earth: { numbers: () => EARTH, heating: 1.7415e-4 },
  moon: { numbers: () => MOON, heating: Number.NaN },
  // From memory, common practice.
  mars: { numbers: marsBody, heating: 1.9027e-4 },
}
