import type { Plan } from '../plan.ts'
import { earthProfile, type Profile, SEGMENT } from '../profile.ts'
import { segmentAt } from '../rates.ts'
import { H, type Point } from './point.ts'

/** How a layer tells its air: not at all (there is none), as an exponential, in segments of one width, or of many. */
export const VOID = 0
export const EXPONENTIAL = 1
export const UNIFORM = 2
export const UNEVEN = 3

/** One restart-free piece of air from `bottom` to `top` [m]; its segments from `first` to `last`, the first of them from `base` [m] on, `scale` of them a metre where they are of one width. */
export interface Layer {
  readonly kind: number
  readonly bottom: number
  readonly top: number
  readonly first: number
  readonly last: number
  readonly base: number
  readonly scale: number
}

/** A body's air as layers from below; above the last one there is none. */
export interface Air {
  readonly layers: readonly Layer[]
  /** As in a profile. */
  readonly segments: Float64Array
  readonly byKilometre: Uint16Array
  /** Of an exponential: Pa, kg/m3, 1/m, s/m (0: no sound speed told). */
  readonly pressure: number
  readonly density: number
  readonly fall: number
  readonly slowness: number
}

export const NOTHING: Layer = { kind: VOID, bottom: 0, top: 0, first: 0, last: 0, base: 0, scale: 0 }

const NO_SEGMENTS = new Float64Array(0)
const NO_INDEX = new Uint16Array(0)

export const AIRLESS: Air = {
  layers: [],
  segments: NO_SEGMENTS,
  byKilometre: NO_INDEX,
  pressure: 0,
  density: 0,
  fall: 0,
  slowness: 0,
}

/** The air of each profile, in its layers and as one, laid out at its first use. */
const known = new WeakMap<Profile, { readonly layered: Air; readonly whole: Air }>()

/** The air of a body; `loose`: as one layer, with no restarts inside it. */
export function airOf({ air }: Plan['body'], loose: boolean): Air {
  if (!air) return AIRLESS
  if (air.kind === 'exponential')
    return {
      layers: [{ ...NOTHING, kind: EXPONENTIAL, bottom: Number.NEGATIVE_INFINITY, top: air.top }],
      segments: NO_SEGMENTS,
      byKilometre: NO_INDEX,
      pressure: air.pressure,
      density: air.density,
      fall: 1 / air.scaleHeight,
      slowness: air.soundSpeed > 0 ? 1 / air.soundSpeed : 0,
    }
  const profile = air.kind === 'profile' ? air.profile : earthProfile()
  let laid = known.get(profile)
  if (!laid) {
    laid = layOut(profile)
    known.set(profile, laid)
  }
  return loose ? laid.whole : laid.layered
}

function layOut({ air: segments, byKilometre, layers }: Profile): { layered: Air; whole: Air } {
  const air = { ...AIRLESS, segments, byKilometre }
  const layered = layers.map(({ bottom, top, first, count }, k): Layer => {
    const scale = segments[SEGMENT * first + 1]!
    return {
      kind: isEven(segments, first, count) ? UNIFORM : UNEVEN,
      bottom: k === 0 ? Number.NEGATIVE_INFINITY : bottom,
      top,
      first,
      last: first + count - 1,
      base: segments[SEGMENT * first]!,
      scale,
    }
  })
  const last = layered[layered.length - 1]!
  const whole: Layer = { ...last, kind: UNEVEN, bottom: Number.NEGATIVE_INFINITY, first: 0 }
  return { layered: { ...air, layers: layered }, whole: { ...air, layers: [whole] } }
}

/** Whether segments are of one width. */
function isEven(segments: Float64Array, first: number, count: number): boolean {
  const scale = segments[SEGMENT * first + 1]!
  for (let k = first; k < first + count; k++)
    if (Math.abs(segments[SEGMENT * k + 1]! - scale) > 1e-12 * scale) return false
  return true
}

/** The layer that holds an altitude, going up (the upper one at an edge) or down; `layers.length` above all air. */
export function layerAt({ layers }: Air, altitude: number, up: boolean): number {
  let k = 0
  while (k < layers.length && (up ? altitude >= layers[k]!.top : altitude > layers[k]!.top)) k++
  return k
}

/** Writes pressure, density and 1 / sound speed at a point's altitude in a layer, with their slopes; beyond its ends as its outermost segments go on. */
export function airInto(air: Air, layer: number, point: Point): void {
  const altitude = point.state[H]!
  const it = layer < air.layers.length ? air.layers[layer]! : NOTHING
  const { kind } = it
  if (kind === VOID) {
    point.pressure = 0
    point.pressureSlope = 0
    point.density = 0
    point.densitySlope = 0
    point.densityBend = 0
    point.slowness = 0
    point.slownessSlope = 0
    return
  }
  if (kind === EXPONENTIAL) {
    const { fall } = air
    const share = Math.exp(-altitude * fall)
    const density = air.density * share
    point.pressure = air.pressure * share
    point.pressureSlope = -air.pressure * share * fall
    point.density = density
    point.densitySlope = -density * fall
    point.densityBend = density * fall * fall
    point.slowness = air.slowness
    point.slownessSlope = 0
    return
  }
  const { segments: c } = air
  let { scale } = it
  let at: number
  let x: number
  if (kind === UNIFORM) {
    x = (altitude - it.base) * scale
    const segment = clamp(x | 0, it.last - it.first)
    x -= segment
    at = SEGMENT * (it.first + segment)
  } else {
    at = SEGMENT * Math.max(it.first, Math.min(it.last, segmentAt(c, air.byKilometre, altitude)))
    scale = c[at + 1]!
    x = (altitude - c[at]!) * scale
  }
  const p1 = c[at + 3]!
  const p2 = c[at + 4]!
  const p3 = c[at + 5]!
  const p4 = c[at + 6]!
  const p5 = c[at + 7]!
  const r1 = c[at + 9]!
  const r2 = c[at + 10]!
  const r3 = c[at + 11]!
  const r4 = c[at + 12]!
  const r5 = c[at + 13]!
  const s1 = c[at + 15]!
  const s2 = c[at + 16]!
  const s3 = c[at + 17]!
  const s4 = c[at + 18]!
  const s5 = c[at + 19]!
  const xx = x * x
  point.pressure = c[at + 2]! + x * p1 + xx * (p2 + x * p3 + xx * (p4 + x * p5))
  point.density = c[at + 8]! + x * r1 + xx * (r2 + x * r3 + xx * (r4 + x * r5))
  point.slowness = c[at + 14]! + x * s1 + xx * (s2 + x * s3 + xx * (s4 + x * s5))
  point.pressureSlope = scale * (p1 + x * (2 * p2) + xx * (3 * p3 + x * (4 * p4) + xx * (5 * p5)))
  point.densitySlope = scale * (r1 + x * (2 * r2) + xx * (3 * r3 + x * (4 * r4) + xx * (5 * r5)))
  point.densityBend = scale * scale * (2 * r2 + x * (6 * r3) + xx * (12 * r4 + x * (20 * r5)))
  point.slownessSlope = scale * (s1 + x * (2 * s2) + xx * (3 * s3 + x * (4 * s4) + xx * (5 * s5)))
}

function clamp(index: number, last: number): number {
  return Math.max(0, Math.min(last, index))
}
