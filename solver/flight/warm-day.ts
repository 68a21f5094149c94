import type { ProfileAir } from './plan.ts'
import { type AirStretch, profileOf } from './profile.ts'
import { type AirState, EARTH_TURNS, geometric, geopotential, inLayer, us76, us76Slope } from './us76.ts'
import {
  AIR_FLOOR,
  AIR_TOP,
  EARTH_GRAVITY,
  GAS_CONSTANT,
  HEAT_RATIO,
  LAYERS,
  MOLECULAR_WEIGHT,
  SEA_LEVEL_PRESSURE,
  UPPER,
  UPPER_START,
} from './us76-data.ts'

const HYDROSTATIC = (EARTH_GRAVITY * MOLECULAR_WEIGHT) / GAS_CONSTANT
const SPECIFIC_GAS = GAS_CONSTANT / MOLECULAR_WEIGHT
const EARTH_SPACE = 100000 // m, as on any other day
/** The lowest kinetic temperature of the Standard [K], from 86 to 91 km. */
const COLDEST = 186.8673

let last: { readonly offset: number; readonly air: ProfileAir } | null = null

/**
 * The 1976 standard air with every temperature of its seven layers moved by an offset [K] at the same pressure at sea level, in hydrostatic
 * balance: the Standard's own formulas with other temperatures. Above 86 km its table is scaled by as much as they have moved there.
 */
export function warmDay(offset: number): ProfileAir {
  if (last?.offset !== offset) last = { offset, air: build(offset) }
  return last.air
}

interface WarmLayer {
  readonly base: number
  readonly temperature: number
  readonly lapse: number
  readonly pressure: number
}

function build(offset: number): ProfileAir {
  if (offset > -COLDEST) return sound(offset)
  return { ...sound(0), fault: 'the temperature offset leaves air at or below absolute zero' }
}

function sound(offset: number): ProfileAir {
  const layers: WarmLayer[] = []
  for (const { base, temperature, lapse } of LAYERS) {
    const below = layers.at(-1)
    const pressure = below ? inWarm(below, geometric(base)).pressure : SEA_LEVEL_PRESSURE
    layers.push({ base, temperature: temperature + offset, lapse, pressure })
  }
  const top = layers[layers.length - 1]!
  const edge = inWarm(top, UPPER_START)
  const standard = inLayer(LAYERS.length - 1, UPPER_START)
  const [pressure, density] = [edge.pressure / standard.pressure, edge.density / standard.density]
  const above = (altitude: number): AirState => {
    const it = us76(altitude)
    return {
      temperature: it.temperature + offset,
      pressure: it.pressure * pressure,
      density: it.density * density,
      soundSpeed: edge.soundSpeed,
    }
  }
  const layerAt = (altitude: number): WarmLayer => {
    const height = geopotential(altitude)
    let k = layers.length - 1
    while (k > 0 && height < layers[k]!.base) k--
    return layers[k]!
  }
  const stretches: AirStretch[] = layers.map((layer, k) => ({
    bottom: k === 0 ? AIR_FLOOR : geometric(layer.base),
    top: k + 1 < layers.length ? geometric(layers[k + 1]!.base) : UPPER_START,
    state: altitude => inWarm(layer, altitude),
  }))
  const joints = UPPER.slice(1, -1).map(([kilometres]) => 1000 * kilometres)
  stretches.push({ bottom: UPPER_START, top: AIR_TOP, joints, state: above })
  return {
    kind: 'profile',
    profile: profileOf(stretches),
    floor: AIR_FLOOR,
    top: AIR_TOP,
    space: EARTH_SPACE,
    tellsSound: true,
    turns: EARTH_TURNS,
    state: altitude => (altitude < UPPER_START ? inWarm(layerAt(altitude), altitude) : above(altitude)),
    slope: altitude => {
      if (altitude < UPPER_START) return slopeIn(layerAt(altitude), altitude)
      const it = us76Slope(altitude)
      return { ...it, pressure: it.pressure * pressure, density: it.density * density }
    },
  }
}

function inWarm({ base, temperature, lapse, pressure }: WarmLayer, altitude: number): AirState {
  const above = geopotential(altitude) - base
  const here = temperature + lapse * above
  const p =
    pressure *
    (lapse === 0 ? Math.exp((-HYDROSTATIC * above) / temperature) : (here / temperature) ** (-HYDROSTATIC / lapse))
  return {
    temperature: here,
    pressure: p,
    density: p / (SPECIFIC_GAS * here),
    soundSpeed: Math.sqrt(HEAT_RATIO * SPECIFIC_GAS * here),
  }
}

function slopeIn(layer: WarmLayer, altitude: number): AirState {
  const { temperature, pressure, density, soundSpeed } = inWarm(layer, altitude)
  const stretch = (geopotential(altitude) / altitude) ** 2 || 1
  return {
    temperature: stretch * layer.lapse,
    pressure: (-stretch * pressure * HYDROSTATIC) / temperature,
    density: (-stretch * density * (HYDROSTATIC + layer.lapse)) / temperature,
    soundSpeed: (stretch * soundSpeed * layer.lapse) / (2 * temperature),
  }
}
