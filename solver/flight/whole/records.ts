import { takeNumbers } from '../slab.ts'
import { vary } from './changes.ts'
import type { Craft } from './craft.ts'
import { H, type Point, U, W } from './point.ts'

/** The figures whose largest values are sought. */
export type Watched = 'felt' | 'q' | 'speed' | 'mach' | 'heat'
export const WATCHED: readonly Watched[] = ['felt', 'q', 'speed', 'mach', 'heat']

/** The largest value so far, where, with derivatives by lane. */
export interface Peak {
  value: number
  altitude: number
  time: number
  readonly slopes: Float64Array
  readonly altitudeSlopes: Float64Array
}

const NO_LANES = new Float64Array(0)

export function createPeak(lanes: number): Peak {
  return {
    value: -1,
    altitude: Number.NaN,
    time: Number.NaN,
    slopes: lanes === 0 ? NO_LANES : takeNumbers(lanes, 0),
    altitudeSlopes: lanes === 0 ? NO_LANES : takeNumbers(lanes, 0),
  }
}

/** The peaks of one phase of a burn or a coast, of one window: those not asked for are left out. */
export type PeakSet = { readonly [K in Watched]?: Peak }

export function rateOf(what: Watched, point: Point): number {
  switch (what) {
    case 'felt':
      return point.feltRate
    case 'q':
      return point.qRate
    case 'speed':
      return point.speedRate
    case 'mach':
      return point.machRate
    case 'heat':
      return point.heatRate
  }
}

/** Takes a point for a peak in each set where it is the largest yet. Inside a step a peak's own time drops out of its derivative; at an event (`lane.event`) it moves with it. */
export function consider(craft: Craft, point: Point, sets: readonly PeakSet[], what: Watched, inside: boolean): void {
  const value = point[what]
  for (let k = 0; k < sets.length; k++) {
    const peak = sets[k]![what]
    if (!peak || !(value > peak.value)) continue
    peak.value = value
    peak.altitude = point.state[H]!
    peak.time = point.time
    if (craft.lanes.length > 0) takeSlopes(craft, point, peak, what, inside)
  }
}

function takeSlopes(craft: Craft, point: Point, peak: Peak, what: Watched, inside: boolean): void {
  const { lanes, change } = craft
  for (let l = 0; l < lanes.length; l++) {
    const lane = lanes[l]!
    vary(craft, point, lane, l)
    peak.slopes[l] = change[what] + (inside ? 0 : rateOf(what, point) * lane.event)
    if (what !== 'q') continue
    const shift = inside ? -trend(craft, point, lane.state) / bend(craft, point) : lane.event
    peak.altitudeSlopes[l] = lane.state[H]! + point.state[U]! * shift
  }
}

/** Change of the rate of dynamic pressure, ½ρ'uV² + ρ(u u̇ + w ẇ), where the state changes so, its rates as `craft.change` says. */
function trend(craft: Craft, point: Point, state: Float64Array): number {
  const { state: y, rates, density, densitySlope, densityBend } = point
  const { upRate, sideRate } = craft.change
  const [u, w] = [y[U]!, y[W]!]
  const [h, du, dw] = [state[H]!, state[U]!, state[W]!]
  const square = u * u + w * w
  const work = u * rates[U]! + w * rates[W]!
  return (
    0.5 * (densityBend * h * u + densitySlope * du) * square +
    densitySlope * u * (u * du + w * dw) +
    densitySlope * h * work +
    density * (du * rates[U]! + u * upRate + dw * rates[W]! + w * sideRate)
  )
}

/** Change of the rate of dynamic pressure along the motion. */
export function bend(craft: Craft, point: Point): number {
  craft.change.upRate = point.upJerk
  craft.change.sideRate = point.sideJerk
  return trend(craft, point, point.rates)
}
