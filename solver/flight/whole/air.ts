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
  /** Where the last state was looked for: its segment. */
  segment: number
}

const NO_SEGMENTS = new Float64Array(0)

/** The air of a body; `loose`: as one layer, with no restarts inside it. */
export function airOf({ air }: Plan['body'], loose: boolean): Air {
  const plain = { segments: NO_SEGMENTS, pressure: 0, density: 0, fall: 0, slowness: 0, segment: 0 }
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

/** Writes pressure, density and 1 / sound speed at the point's altitude in a layer, with their slopes where asked; beyond its ends as its outermost segments go on. */
export function airInto(air: Air, layer: number, altitude: number, point: Point, sloped: boolean): void {
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
  const { segments: c } = air
  const segment = segmentAt(air, it, altitude)
  air.segment = segment
  const at = segment * SEGMENT
  const scale = c[at + 1]!
  const x = (altitude - c[at]!) * scale
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
  if (!sloped) return
  point.pressureSlope = scale * (p1 + x * (2 * p2) + xx * (3 * p3 + x * (4 * p4) + xx * (5 * p5)))
  point.densitySlope = scale * (r1 + x * (2 * r2) + xx * (3 * r3 + x * (4 * r4) + xx * (5 * r5)))
  point.densityBend = scale * scale * (2 * r2 + x * (6 * r3) + xx * (12 * r4 + x * (20 * r5)))
  point.slownessSlope = scale * (s1 + x * (2 * s2) + xx * (3 * s3 + x * (4 * s4) + xx * (5 * s5)))
}

/** The segment of a layer that holds an altitude, its outermost ones beyond its ends; looked for first where it was last. */
function segmentAt({ segments, segment }: Air, { first, count }: Layer, altitude: number): number {
  const last = first + count - 1
  let low = first
  let high = last + 1
  if (segment >= first && segment <= last) {
    if (segments[SEGMENT * segment]! <= altitude) low = segment
    else high = segment
    if (low === last || (low === segment && altitude < segments[SEGMENT * (segment + 1)]!)) return low
  }
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (segments[SEGMENT * middle]! <= altitude) low = middle
    else high = middle
  }
  return low
}
