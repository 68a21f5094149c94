import { takeNumbers } from '../slab.ts'
import { vary } from './changes.ts'
import type { Change, Craft } from './craft.ts'
import { H, type Point, U, W } from './point.ts'

/** The figures whose largest values are sought: felt acceleration, dynamic pressure, speed, mach, heating. By number, since every step asks for all of them. */
export const FELT = 0
export const Q = 1
export const SPEED = 2
export const MACH = 3
export const HEATING = 4
export const WATCHED = 5
export type Watched = number

/** The largest value so far, where, with derivatives by lane. */
export interface Peak {
  value: number
  altitude: number
  time: number
  readonly slopes: Float64Array
  readonly altitudeSlopes: Float64Array
}

export function createPeak(lanes: number): Peak {
  return {
    value: -1,
    altitude: Number.NaN,
    time: Number.NaN,
    slopes: takeNumbers(lanes, 0),
    altitudeSlopes: takeNumbers(lanes, 0),
  }
}

/** The peaks of one phase of a burn or a coast, of one window: null where none is sought. */
export interface PeakSet {
  readonly felt: Peak | null
  readonly q: Peak | null
  readonly speed: Peak | null
  readonly mach: Peak | null
  readonly heat: Peak | null
}

export const NO_PEAKS: PeakSet = { felt: null, q: null, speed: null, mach: null, heat: null }

/** At most so many windows seek one figure at a time: that of a phase, of the entry, of a parachute. */
const WINDOWS = 4

/** The peaks sought at the moment, figure by figure. */
export class Sought {
  private readonly peaks: (Peak | null)[] = new Array<Peak | null>(WATCHED * WINDOWS).fill(null)
  private readonly counts = new Uint8Array(WATCHED)

  clear(): void {
    this.counts.fill(0)
  }

  add({ felt, q, speed, mach, heat }: PeakSet): void {
    this.put(FELT, felt)
    this.put(Q, q)
    this.put(SPEED, speed)
    this.put(MACH, mach)
    this.put(HEATING, heat)
  }

  private put(what: Watched, peak: Peak | null): void {
    if (peak) this.peaks[WINDOWS * what + this.counts[what]!++] = peak
  }

  asks(what: Watched): boolean {
    return this.counts[what]! > 0
  }

  /** Whether a figure is larger at a point than in a window that seeks it. */
  beats(what: Watched, point: Point): boolean {
    const value = figureAt(what, point)
    for (let k = 0; k < this.counts[what]!; k++) if (value > this.peaks[WINDOWS * what + k]!.value) return true
    return false
  }

  /** Takes a point for a peak in each window where it is the largest yet. Inside a step a peak's own time drops out of its derivative; at an event (`lane.event`) it moves with it. */
  consider(craft: Craft, point: Point, what: Watched, inside: boolean): void {
    const value = figureAt(what, point)
    for (let k = 0; k < this.counts[what]!; k++) {
      const peak = this.peaks[WINDOWS * what + k]!
      if (!(value > peak.value)) continue
      peak.value = value
      peak.altitude = point.state[H]!
      peak.time = point.time
      if (craft.lanes.length > 0) takeSlopes(craft, point, peak, what, inside)
    }
  }
}

export function figureAt(what: Watched, point: Point): number {
  switch (what) {
    case FELT:
      return point.felt
    case Q:
      return point.q
    case SPEED:
      return point.speed
    case MACH:
      return point.mach
    default:
      return point.heat
  }
}

export function rateOf(what: Watched, point: Point): number {
  switch (what) {
    case FELT:
      return point.feltRate
    case Q:
      return point.qRate
    case SPEED:
      return point.speedRate
    case MACH:
      return point.machRate
    default:
      return point.heatRate
  }
}

function changeOf(what: Watched, change: Change): number {
  switch (what) {
    case FELT:
      return change.felt
    case Q:
      return change.q
    case SPEED:
      return change.speed
    case MACH:
      return change.mach
    default:
      return change.heat
  }
}

function takeSlopes(craft: Craft, point: Point, peak: Peak, what: Watched, inside: boolean): void {
  const { lanes, change } = craft
  for (let l = 0; l < lanes.length; l++) {
    const lane = lanes[l]!
    vary(craft, point, lane, l)
    peak.slopes[l] = changeOf(what, change) + (inside ? 0 : rateOf(what, point) * lane.event)
    if (what !== Q) continue
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
