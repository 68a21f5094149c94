import { keptAir } from './kept-air.ts'
import type { Layer, Profile } from './profile-form.ts'
import { geometric, inLayer, UPPER_SOUND_SPEED, us76 } from './us76.ts'
import { AIR_FLOOR, AIR_TOP, LAYERS, UPPER, UPPER_START } from './us76-data.ts'

export type { Layer, Profile }

/** Numbers kept for each segment. */
export const SEGMENT = 20
const DEGREE = 5
/** Logarithm by which pressure or density falls over one segment, below 86 km and in the table, where it bends more. */
const FALL = 0.2
const UPPER_FALL = 0.14

/** The nodes of interpolation: Chebyshev's on 0…1. */
const NODES = Array.from(
  { length: DEGREE + 1 },
  (_, j) => 0.5 - 0.5 * Math.cos((Math.PI * (2 * j + 1)) / (2 * DEGREE + 2)),
)

/** Where a segment is held against what it stands for: at its beginning and between the nodes. */
const BETWEEN = [0, ...NODES.slice(1).map((x, j) => 0.5 * (x + NODES[j]!))]
/** As near as segments of any air are to come, relatively, and how often they are halved for it. */
const CLOSE = 1e-9
const HALVINGS = 5

let earth: Profile | null = null

/** The profile of the 1976 standard, laid out at its first use where that was not done before. */
export function earthProfile(): Profile {
  earth ??= keptAir() ?? standardProfile()
  return earth
}

/** The same, laid out now: some 10 ms of a cold start. */
export function standardProfile(): Profile {
  return buildProfile(AIR_TOP)
}

/** The standard's air up to `top` [m] (86 km or the end of its table) and none above. */
export function buildProfile(top: number): Profile {
  const segments: number[] = []
  const layers = LAYERS.map((layer, k) => {
    const bottom = k === 0 ? AIR_FLOOR : geometric(layer.base)
    const next = LAYERS[k + 1]
    const end = next ? geometric(next.base) : UPPER_START
    return addLayer(segments, bottom, end, FALL, altitude => inLayer(k, altitude))
  })
  if (top > UPPER_START) layers.push(addUpper(segments))
  const air = Float64Array.from(segments)
  return { air, byKilometre: indexByKilometre(air), layers }
}

type Property = (altitude: number) => { pressure: number; density: number; soundSpeed: number }

/** Air between two altitudes [m] that are free of kinks but at its joints, rising: with joints it is one layer of unequal segments. */
export interface AirStretch {
  readonly bottom: number
  readonly top: number
  readonly joints?: readonly number[]
  /** It may bend as it likes: how far pressure falls does not tell how fine segments must be. */
  readonly bends?: boolean
  readonly state: Property
}

/** A profile of any air: `stretches` from below, each beginning where the one before ends. */
export function profileOf(stretches: readonly AirStretch[]): Profile {
  const segments: number[] = []
  const layers = stretches.map(({ bottom, top, joints = [], bends = false, state }): Layer => {
    const first = segments.length / SEGMENT
    const edges = [bottom, ...joints, top]
    for (let k = 0; k + 1 < edges.length; k++) {
      const end = edges[k + 1]!
      // The end itself may belong to what comes above; its last place below has the same value to rounding.
      const below = (altitude: number): ReturnType<Property> =>
        state(altitude < end ? altitude : end - 1e-9 * (end - edges[k]!))
      const add = bends ? addClose : addLayer
      add(segments, edges[k]!, end, joints.length > 0 ? UPPER_FALL : FALL, below)
    }
    return { bottom, top, first, count: segments.length / SEGMENT - first }
  })
  const air = Float64Array.from(segments)
  return { air, byKilometre: indexByKilometre(air), layers }
}

function addLayer(segments: number[], bottom: number, top: number, fall: number, state: Property): Layer {
  const below = state(bottom)
  const above = state(top)
  const ratio = Math.max(below.pressure / above.pressure, below.density / above.density)
  return addEven(segments, bottom, top, Math.max(1, Math.ceil(Math.log(ratio) / fall)), state)
}

/** The same of air that may bend as it likes: segments are halved until they are close. */
function addClose(segments: number[], bottom: number, top: number, fall: number, state: Property): void {
  let { first, count } = addLayer(segments, bottom, top, fall, state)
  for (let round = 0; round < HALVINGS && !isClose(segments, first, state); round++) {
    segments.length = SEGMENT * first
    ;({ first, count } = addEven(segments, bottom, top, 2 * count, state))
  }
}

function isClose(segments: readonly number[], first: number, state: Property): boolean {
  for (let at = SEGMENT * first; at < segments.length; at += SEGMENT)
    for (const x of BETWEEN) {
      const { pressure, density, soundSpeed } = state(segments[at]! + x / segments[at + 1]!)
      const off = (place: number, value: number): number => Math.abs(powersAt(segments, at + place, x) / value - 1)
      if (!(Math.max(off(2, pressure), off(8, density), off(14, 1 / soundSpeed)) <= CLOSE)) return false
    }
  return true
}

function powersAt(coefficients: readonly number[], at: number, x: number): number {
  let value = 0
  for (let k = DEGREE; k >= 0; k--) value = value * x + coefficients[at + k]!
  return value
}

function addEven(segments: number[], bottom: number, top: number, count: number, state: Property): Layer {
  const first = segments.length / SEGMENT
  for (let k = 0; k < count; k++) {
    const start = bottom + (k * (top - bottom)) / count
    addSegment(segments, start, (top - bottom) / count, state)
  }
  return { bottom, top, first, count }
}

/** Each interval of the table above 86 km, which is one cubic of ln p and ln ρ, in equal segments. */
function addUpper(segments: number[]): Layer {
  const first = segments.length / SEGMENT
  for (let row = 0; row + 1 < UPPER.length; row++) {
    const start = 1000 * UPPER[row]![0]
    const end = 1000 * UPPER[row + 1]![0]
    // The end itself belongs to the next interval; its last place below has the same value to rounding.
    addLayer(segments, start, end, UPPER_FALL, altitude => ({
      ...us76(altitude < end ? altitude : end * (1 - 2 ** -53)),
      soundSpeed: UPPER_SOUND_SPEED,
    }))
  }
  return { bottom: UPPER_START, top: AIR_TOP, first, count: segments.length / SEGMENT - first }
}

function addSegment(segments: number[], start: number, width: number, state: Property): void {
  const values = NODES.map(x => state(start + x * width))
  segments.push(start, 1 / width)
  segments.push(...interpolate(values.map(value => value.pressure)))
  segments.push(...interpolate(values.map(value => value.density)))
  segments.push(...interpolate(values.map(value => 1 / value.soundSpeed)))
}

/** Coefficients in powers of x of the polynomial through the values at the nodes (Newton's divided differences, multiplied out). */
function interpolate(values: readonly number[]): number[] {
  const differences = [...values]
  for (let order = 1; order <= DEGREE; order++) {
    for (let j = DEGREE; j >= order; j--)
      differences[j] = (differences[j]! - differences[j - 1]!) / (NODES[j]! - NODES[j - order]!)
  }
  const powers = new Array<number>(DEGREE + 1).fill(0)
  for (let j = DEGREE; j >= 0; j--) {
    for (let k = DEGREE; k > 0; k--) powers[k] = powers[k - 1]! - NODES[j]! * powers[k]!
    powers[0] = differences[j]! - NODES[j]! * powers[0]!
  }
  return powers
}

function indexByKilometre(air: Float64Array): Uint16Array {
  const count = air.length / SEGMENT
  const lastStart = air[SEGMENT * (count - 1)]!
  const index = new Uint16Array(Math.floor((lastStart - AIR_FLOOR) / 1000) + 2)
  let segment = 0
  for (let k = 0; k < index.length; k++) {
    while (segment + 1 < count && air[SEGMENT * (segment + 1)]! <= AIR_FLOOR + 1000 * k) segment++
    index[k] = segment
  }
  return index
}
