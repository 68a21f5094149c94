import { curveAt, curveSlope, pchip } from '../model/curve.ts'
import {
  AIR_TOP,
  EARTH_GRAVITY,
  EARTH_RADIUS,
  GAS_CONSTANT,
  HEAT_RATIO,
  LAYERS,
  MOLECULAR_WEIGHT,
  SEA_LEVEL_PRESSURE,
  UPPER,
  UPPER_START,
  WEIGHT_RATIO,
} from './us76-data.ts'

/** The state of the air: K, Pa, kg/m3, m/s. */
export interface AirState {
  readonly temperature: number
  readonly pressure: number
  readonly density: number
  readonly soundSpeed: number
}

/** g0' M0 / R* [K/m]: how fast pressure falls in air at a given temperature. */
const HYDROSTATIC = (EARTH_GRAVITY * MOLECULAR_WEIGHT) / GAS_CONSTANT
const SPECIFIC_GAS = GAS_CONSTANT / MOLECULAR_WEIGHT

const ALTITUDES = UPPER.map(([kilometres]) => 1000 * kilometres)
/** ln p and ln ρ over geometric altitude [m] from 86 km to 1000 km. */
export const UPPER_PRESSURE = pchip(
  ALTITUDES,
  UPPER.map(([, pressure]) => Math.log(pressure)),
)
export const UPPER_DENSITY = pchip(
  ALTITUDES,
  UPPER.map(([, , density]) => Math.log(density)),
)

/** Pressure at the base of each layer [Pa], from sea level up. */
const BASE_PRESSURE = LAYERS.reduce<number[]>(
  (pressures, layer, k) => {
    const next = LAYERS[k + 1]
    if (next) pressures.push(pressures[k]! * pressureRatio(layer, next.base - layer.base))
    return pressures
  },
  [SEA_LEVEL_PRESSURE],
)

/** Altitudes [m] between which pressure, density and temperature each only rise or only fall; they jump by a hair at some. */
export const EARTH_TURNS: readonly number[] = [
  ...LAYERS.slice(1).map(({ base }) => geometric(base)),
  ...[UPPER_START, 91000, 110000, 120000, AIR_TOP],
]

const ABOVE: AirState = { temperature: Number.NaN, pressure: 0, density: 0, soundSpeed: Number.NaN }
const NOWHERE: AirState = { temperature: Number.NaN, pressure: Number.NaN, density: Number.NaN, soundSpeed: Number.NaN }

/** Geopotential altitude [m] of a geometric one [m]. */
export function geopotential(altitude: number): number {
  return (EARTH_RADIUS * altitude) / (EARTH_RADIUS + altitude)
}

/** Geometric altitude [m] of a geopotential one [m]. */
export function geometric(altitude: number): number {
  return (EARTH_RADIUS * altitude) / (EARTH_RADIUS - altitude)
}

/** Pressure over base pressure, `above` geopotential metres over a layer's base. */
function pressureRatio(layer: (typeof LAYERS)[number], above: number): number {
  const { temperature, lapse } = layer
  if (lapse === 0) return Math.exp((-HYDROSTATIC * above) / temperature)
  return ((temperature + lapse * above) / temperature) ** (-HYDROSTATIC / lapse)
}

/** The layer that holds a geometric altitude [m] below 86 km; the lowest also reaches below sea level. */
export function layerAt(altitude: number): number {
  const height = geopotential(altitude)
  let k = LAYERS.length - 1
  while (k > 0 && height < LAYERS[k]!.base) k--
  return k
}

/** One layer's formulas at a geometric altitude [m], also a little beyond its ends. */
export function inLayer(k: number, altitude: number): AirState {
  const layer = LAYERS[k]!
  const above = geopotential(altitude) - layer.base
  const scale = layer.temperature + layer.lapse * above
  const pressure = BASE_PRESSURE[k]! * pressureRatio(layer, above)
  return {
    temperature: scale * weightRatio(altitude),
    pressure,
    density: pressure / (SPECIFIC_GAS * scale),
    soundSpeed: Math.sqrt(HEAT_RATIO * SPECIFIC_GAS * scale),
  }
}

/** Kinetic over molecular-scale temperature; straight between the rows of Table 8. */
function weightRatio(altitude: number): number {
  const rows = (altitude - 80000) / 500
  if (rows <= 0) return 1
  const row = Math.min(Math.floor(rows), WEIGHT_RATIO.length - 2)
  return WEIGHT_RATIO[row]! + (rows - row) * (WEIGHT_RATIO[row + 1]! - WEIGHT_RATIO[row]!)
}

/** Kinetic temperature [K] from 86 to 1000 km, section 1.2.5 of the Standard; altitude geometric [m]. */
function upperTemperature(altitude: number): number {
  const z = altitude / 1000
  if (z < 91) return 186.8673
  if (z < 110) return 263.1905 - 76.3232 * Math.sqrt(1 - ((z - 91) / -19.9429) ** 2)
  if (z < 120) return 240 + 12 * (z - 110)
  const radius = EARTH_RADIUS / 1000
  return 1000 - 640 * Math.exp((-0.01875 * (z - 120) * (radius + 120)) / (radius + z))
}

/** Sound speed at 86 km [m/s], taken for all air above; the Standard gives none there. */
export const UPPER_SOUND_SPEED = inLayer(LAYERS.length - 1, UPPER_START).soundSpeed

/**
 * The 1976 standard air at a geometric altitude [m]: the seven layers below 86 km (the lowest also below sea level), ln p and ln ρ
 * between computed values from there to 1000 km, and none above (no temperature, no sound speed). NaN at NaN.
 */
export function us76(altitude: number): AirState {
  if (altitude < UPPER_START) return inLayer(layerAt(altitude), altitude)
  if (altitude <= AIR_TOP)
    return {
      temperature: upperTemperature(altitude),
      pressure: Math.exp(curveAt(UPPER_PRESSURE, altitude)),
      density: Math.exp(curveAt(UPPER_DENSITY, altitude)),
      soundSpeed: UPPER_SOUND_SPEED,
    }
  return altitude > AIR_TOP ? ABOVE : NOWHERE
}

/** Its change with geometric altitude, per metre; at the edge of a layer that of the upper one, at the top that below it. */
export function us76Slope(altitude: number): AirState {
  if (altitude < UPPER_START) return layerSlope(layerAt(altitude), altitude)
  if (!(altitude <= AIR_TOP)) return altitude > AIR_TOP ? { ...ABOVE, pressure: 0, density: 0 } : NOWHERE
  const { pressure, density } = us76(altitude)
  return {
    temperature: upperTemperatureSlope(altitude),
    pressure: pressure * curveSlope(UPPER_PRESSURE, altitude),
    density: density * curveSlope(UPPER_DENSITY, altitude),
    soundSpeed: 0,
  }
}

function layerSlope(k: number, altitude: number): AirState {
  const { lapse } = LAYERS[k]!
  const { pressure, density, soundSpeed, temperature } = inLayer(k, altitude)
  const stretch = (EARTH_RADIUS / (EARTH_RADIUS + altitude)) ** 2
  const scale = pressure / (SPECIFIC_GAS * density)
  const falling = -HYDROSTATIC / scale
  const row = Math.min(Math.floor((altitude - 80000) / 500), WEIGHT_RATIO.length - 2)
  const ratioSlope = row < 0 ? 0 : (WEIGHT_RATIO[row + 1]! - WEIGHT_RATIO[row]!) / 500
  return {
    temperature: stretch * lapse * (temperature / scale) + scale * ratioSlope,
    pressure: stretch * pressure * falling,
    density: stretch * density * (falling - lapse / scale),
    soundSpeed: (stretch * soundSpeed * lapse) / (2 * scale),
  }
}

function upperTemperatureSlope(altitude: number): number {
  const z = altitude / 1000
  if (z < 91) return 0
  if (z < 110) {
    const x = (z - 91) / -19.9429
    return (-76.3232 * -x) / Math.sqrt(1 - x * x) / -19.9429 / 1000
  }
  if (z < 120) return 0.012
  const radius = EARTH_RADIUS / 1000
  const stretch = ((radius + 120) / (radius + z)) ** 2
  return ((1000 - upperTemperature(altitude)) * 0.01875 * stretch) / 1000
}
