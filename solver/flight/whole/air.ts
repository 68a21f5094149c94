import type { Plan } from '../plan.ts'
import { earthProfile, type Profile, SEGMENT } from '../profile.ts'
import type { Point } from './point.ts'

/** One restart-free piece of air from `bottom` to `top` [m]: equal segments, segments that differ in width, or an exponential. */
interface Layer {
  readonly bottom: number
  readonly top: number
  readonly kind: 'segments' | 'exponential'
  readonly first: number
  readonly count: number
}

/** A body's air as layers from below; above the last one there is none. */
export interface Air {
  readonly layers: readonly Layer[]
  readonly segments: Float64Array
  /** Of an exponential: Pa, kg/m3, 1/m, s/m (0: no sound speed told). */
  readonly pressure: number
  readonly density: number
  readonly fall: number
  readonly slowness: number
}

const NO_SEGMENTS = new Float64Array(0)

/** The air of a body; `loose`: as one layer, with no restarts inside it. */
export function airOf({ air }: Plan['body'], loose: boolean): Air {
  const plain = { segments: NO_SEGMENTS, pressure: 0, density: 0, fall: 0, slowness: 0 }
  if (!air) return { ...plain, layers: [] }
  if (air.kind === 'exponential')
    return {
      ...plain,
      layers: [{ bottom: Number.NEGATIVE_INFINITY, top: air.top, kind: 'exponential', first: 0, count: 0 }],
      pressure: air.pressure,
      density: air.density,
      fall: 1 / air.scaleHeight,
      slowness: air.soundSpeed > 0 ? 1 / air.soundSpeed : 0,
    }
  return { ...plain, ...layersOf(air.kind === 'profile' ? air.profile : earthProfile(), loose) }
}

function layersOf(profile: Profile, loose: boolean): { layers: readonly Layer[]; segments: Float64Array } {
  const layers = profile.layers.map((layer, k): Layer => {
    const bottom = k === 0 ? Number.NEGATIVE_INFINITY : layer.bottom
    return { bottom, top: layer.top, kind: 'segments', first: layer.first, count: layer.count }
  })
  const last = layers[layers.length - 1]!
  const one: Layer = { ...last, bottom: Number.NEGATIVE_INFINITY, first: 0, count: last.first + last.count }
  return { segments: profile.air, layers: loose ? [one] : layers }
}

/** The layer that holds an altitude, going up (the upper one at an edge) or down; `layers.length` above all air. */
export function layerAt({ layers }: Air, altitude: number, up: boolean): number {
  let k = 0
  while (k < layers.length && (up ? altitude >= layers[k]!.top : altitude > layers[k]!.top)) k++
  return k
}

/** Writes pressure, density and 1 / sound speed at the point's altitude in a layer, with their slopes; beyond its ends as its outermost segments go on. */
export function airInto(air: Air, layer: number, altitude: number, point: Point): void {
  const it = air.layers[layer]
  if (!it) {
    point.pressure = 0
    point.pressureSlope = 0
    point.density = 0
    point.densitySlope = 0
    point.densityBend = 0
    point.slowness = 0
    point.slownessSlope = 0
    return
  }
  if (it.kind === 'exponential') {
    const share = Math.exp(-altitude * air.fall)
    point.pressure = air.pressure * share
    point.pressureSlope = -point.pressure * air.fall
    point.density = air.density * share
    point.densitySlope = -point.density * air.fall
    point.densityBend = point.density * air.fall * air.fall
    point.slowness = air.slowness
    point.slownessSlope = 0
    return
  }
  const { segments } = air
  const at = segmentAt(segments, it, altitude) * SEGMENT
  const scale = segments[at + 1]!
  const x = (altitude - segments[at]!) * scale
  point.pressure = value(segments, at + 2, x)
  point.pressureSlope = scale * slope(segments, at + 2, x)
  point.density = value(segments, at + 8, x)
  point.densitySlope = scale * slope(segments, at + 8, x)
  point.densityBend = scale * scale * bend(segments, at + 8, x)
  point.slowness = value(segments, at + 14, x)
  point.slownessSlope = scale * slope(segments, at + 14, x)
}

function segmentAt(segments: Float64Array, { first, count }: Layer, altitude: number): number {
  let low = first
  let high = first + count
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (segments[SEGMENT * middle]! <= altitude) low = middle
    else high = middle
  }
  return low
}

function value(c: Float64Array, at: number, x: number): number {
  return c[at]! + x * (c[at + 1]! + x * (c[at + 2]! + x * (c[at + 3]! + x * (c[at + 4]! + x * c[at + 5]!))))
}

function slope(c: Float64Array, at: number, x: number): number {
  return c[at + 1]! + x * (2 * c[at + 2]! + x * (3 * c[at + 3]! + x * (4 * c[at + 4]! + x * 5 * c[at + 5]!)))
}

function bend(c: Float64Array, at: number, x: number): number {
  return 2 * c[at + 2]! + x * (6 * c[at + 3]! + x * (12 * c[at + 4]! + x * 20 * c[at + 5]!))
}
