import { vary } from './changes.ts'
import { between, climbAt, type Kind, machAt, machPushAt, pushAt, riseTo } from './events.ts'
import { H, type Point, U } from './point.ts'
import type { Way } from './way.ts'

/** More than a flight watches for at once. */
export const MOST = 32

/** How a watch's gap is told, which rises through 0 where it is met: altitude over its level or under it, mach so, falling, rising, pressure over what takes all thrust or under it (`level` ±1), the opening of a parachute. */
const ABOVE = 0
const BELOW = 1
const MACH_ABOVE = 2
const MACH_BELOW = 3
const FALLING = 4
const RISING = 5
const CLIP = 6
const OPENING = 7

/** What is watched lives on between flights, which run one after another. */
const KINDS = new Array<Kind>(MOST).fill('edge')
const LEVELS = new Float64Array(MOST)
const GAUGES = new Uint8Array(MOST)

/** What the coming steps may meet, in the regime of the moment. */
export class Watches {
  count = 0
  readonly kinds = KINDS
  readonly levels = LEVELS
  private readonly gauges = GAUGES
  private readonly way: Way

  constructor(way: Way) {
    this.way = way
  }

  /** Looks anew at what may come. */
  arrange(): void {
    const { craft, log, plan, canopies } = this.way
    this.count = 0
    const { layers } = craft.air
    const inAir = craft.layer < layers.length
    if (inAir) {
      const layer = layers[craft.layer]!
      this.add('edge', ABOVE, layer.top)
      if (layer.bottom > Number.NEGATIVE_INFINITY) this.add('edge', BELOW, layer.bottom)
      const { starts } = craft.dragPieces
      if (craft.pieceHigh + 1 < starts.length) this.add('mach', MACH_ABOVE, starts[craft.pieceHigh + 1]!)
      if (craft.pieceLow > 0) this.add('mach', MACH_BELOW, starts[craft.pieceLow]!)
    } else if (layers.length > 0) this.add('edge', BELOW, layers[layers.length - 1]!.top)
    const rail = craft.mode === 'rail'
    if (rail) this.add('rail end', ABOVE, plan.launchAltitude + plan.railLength * craft.sine)
    this.add('apoapsis', FALLING, 0)
    if ((rail && craft.direction < 0) || (craft.mode === 'free' && !craft.vertical && !log.ascending))
      this.add('periapsis', RISING, 0)
    const space = log.spaceEdge
    if (space !== null) this.add('space', log.inSpace ? BELOW : ABOVE, space)
    this.add('ground', BELOW, plan.launchAltitude)
    if (craft.burning && craft.beta > 0) this.add('clip', CLIP, craft.clipped ? -1 : 1)
    if (!canopies.waiting) return
    if (canopies.waits) this.add('opening', OPENING, 0)
    else this.add('opening', BELOW, canopies.altitude)
  }

  private add(kind: Kind, gauge: number, level: number): void {
    const i = this.count++
    this.kinds[i] = kind
    this.gauges[i] = gauge
    this.levels[i] = level
  }

  gap(i: number, point: Point): number {
    const level = this.levels[i]!
    switch (this.gauges[i]) {
      case ABOVE:
        return point.state[H]! - level
      case BELOW:
        return level - point.state[H]!
      case MACH_ABOVE:
        return point.mach - level
      case MACH_BELOW:
        return level - point.mach
      case FALLING:
        return -point.state[U]!
      case RISING:
        return point.state[U]!
      case CLIP:
        return level * (this.way.craft.beta * point.pressure - 1)
      default:
        return this.way.canopies.gap(point)
    }
  }

  rate(i: number, point: Point): number {
    switch (this.gauges[i]) {
      case ABOVE:
        return point.state[U]!
      case BELOW:
        return -point.state[U]!
      case MACH_ABOVE:
        return point.machRate
      case MACH_BELOW:
        return -point.machRate
      case FALLING:
        return -point.rates[U]!
      case RISING:
        return point.rates[U]!
      case CLIP:
        return this.levels[i]! * this.way.craft.beta * point.pressureSlope * point.state[U]!
      default:
        return this.way.canopies.gapRate(point)
    }
  }

  /** Change of the gap by lane l at fixed time. */
  change(i: number, point: Point, l: number): number {
    const { craft } = this.way
    const lane = craft.lanes[l]!
    switch (this.gauges[i]) {
      case ABOVE:
        return lane.state[H]! - this.target(i, l)
      case BELOW:
        return this.target(i, l) - lane.state[H]!
      case MACH_ABOVE:
        vary(craft, point, lane, l)
        return craft.change.mach
      case MACH_BELOW:
        vary(craft, point, lane, l)
        return -craft.change.mach
      case FALLING:
        return -lane.state[U]!
      case RISING:
        return lane.state[U]!
      case CLIP:
        return this.levels[i]! * (lane.beta * point.pressure + craft.beta * point.pressureSlope * lane.state[H]!)
      default:
        return this.way.canopies.gapChange(point, l)
    }
  }

  /** What a lane does to a watched altitude. */
  private target(i: number, l: number): number {
    const { craft, plan, directions, canopies } = this.way
    const direction = directions[l]!
    switch (this.kinds[i]) {
      case 'ground':
        return direction.launchAltitude
      case 'opening':
        return canopies.altitudeChange(l)
      case 'rail end':
        return (
          direction.launchAltitude +
          direction.railLength * craft.sine +
          plan.railLength * craft.cosine * direction.railElevation
        )
      default:
        return 0
    }
  }

  /** Whether it is at an altitude. */
  isLevel(i: number): boolean {
    return this.gauges[i]! <= BELOW
  }

  /** Whether the fitted polynomials of a step tell it, also a little beyond the step's end. */
  isFitted(i: number): boolean {
    return this.gauges[i]! <= RISING
  }

  /** About how long until the next is met, from gaps so; Infinity where that is beyond `horizon`. */
  nearest(gaps: Float64Array, point: Point, horizon: number): number {
    const { gauges } = this
    // No altitude farther off than this is met.
    const bend = 0.5 * Math.abs(point.rates[U]!) + (Math.abs(point.upJerk) * horizon) / 6
    const far = horizon * (Math.abs(point.state[U]!) + horizon * bend)
    let near = Number.POSITIVE_INFINITY
    for (let i = 0; i < this.count; i++) {
      const gap = gaps[i]!
      const gauge = gauges[i]!
      if (!(gap < 0) || gauge > FALLING || (gauge <= BELOW && !(far > -0.9 * gap))) continue
      const time = this.timeTo(i, gap, point, horizon)
      if (time < near) near = time
    }
    return near
  }

  /** About how long until one that is not met yet is; Infinity where that is not told, or beyond `horizon`. */
  private timeTo(i: number, gap: number, point: Point, horizon: number): number {
    const gauge = this.gauges[i]!
    const rate = this.rate(i, point)
    if (gauge === FALLING) {
      const a = -rate
      const v = -gap
      if (!(v < 2 * horizon * Math.abs(a))) return Number.POSITIVE_INFINITY
      const t = -v / (a - (0.5 * point.upJerk * v) / a)
      return t > 0 ? t : Number.POSITIVE_INFINITY
    }
    const sign = gauge === ABOVE || gauge === MACH_ABOVE ? 1 : -1
    const level = gauge <= BELOW
    const bend =
      sign * (level ? point.rates[U]! : point.slowness * (point.upJerk * point.eu + point.sideJerk * point.ew))
    const jerk = level ? sign * point.upJerk : 0
    const ahead = horizon * (rate + horizon * (0.5 * Math.abs(bend) + (Math.abs(jerk) * horizon) / 6))
    const square = rate * rate - 2 * bend * gap
    if (!(ahead > -0.9 * gap && square > 0)) return Number.POSITIVE_INFINITY
    const t = (-2 * gap) / (rate + Math.sqrt(square))
    if (!level) return t > 0 ? t : Number.POSITIVE_INFINITY
    const pace = rate + t * (bend + 0.5 * jerk * t)
    const refined = pace > 0 ? t - (t * (rate + t * (0.5 * bend + (t * jerk) / 6)) + gap) / pace : t
    return refined > 0 ? refined : Number.POSITIVE_INFINITY
  }

  /** Where in a fitted step, between two places of which the first has it unmet and the second met, it is met. */
  place(i: number, from: Point, to: Point, dt: number, low: number, high: number): number {
    return this.isFitted(i) ? this.fittedPlace(i, to, dt, low, high) : this.soughtPlace(i, from, to, dt)
  }

  /** Its gap at a place of the fitted step, and how that changes per place. */
  fittedGap(i: number, to: Point, dt: number, e: number): number {
    const level = this.levels[i]!
    switch (this.gauges[i]) {
      case ABOVE:
        return to.state[H]! - level + riseTo(dt, e)
      case BELOW:
        return level - to.state[H]! - riseTo(dt, e)
      case MACH_ABOVE:
        return machAt(e) - level
      case MACH_BELOW:
        return level - machAt(e)
      case FALLING:
        return -climbAt(e)
      default:
        return climbAt(e)
    }
  }

  private fittedSlope(i: number, dt: number, e: number): number {
    switch (this.gauges[i]) {
      case ABOVE:
        return dt * climbAt(e)
      case BELOW:
        return -dt * climbAt(e)
      case MACH_ABOVE:
        return machPushAt(e)
      case MACH_BELOW:
        return -machPushAt(e)
      case FALLING:
        return -pushAt(e)
      default:
        return pushAt(e)
    }
  }

  /** Newton's iteration kept inside the bracket. */
  private fittedPlace(i: number, to: Point, dt: number, begin: number, end: number): number {
    let low = begin
    let high = end
    let e = Math.max(low, Math.min(high, 0))
    for (let round = 0; round < 60; round++) {
      const off = this.fittedGap(i, to, dt, e)
      if (off === 0) return e
      if (off < 0) low = e
      else high = e
      const next = e - off / this.fittedSlope(i, dt, e)
      const kept = next > low && next < high ? next : 0.5 * (low + high)
      if (Math.abs(kept - e) < 1e-14) return kept
      e = kept
    }
    return e
  }

  /** The Illinois false position on exact evaluations at the states of the fitted step. */
  private soughtPlace(i: number, from: Point, to: Point, dt: number): number {
    const { craft, scratch } = this.way
    return falsePosition(this.gap(i, from), this.gap(i, to), 1e-13, e => {
      between(craft, from, to, dt, e, scratch)
      return this.gap(i, scratch)
    })
  }
}

/** Where a gap rises through 0 between places −1 and 0, by the Illinois false position, to a tolerance. */
export function falsePosition(begin: number, end: number, near: number, gapAt: (e: number) => number): number {
  let low = -1
  let high = 0
  let atLow = begin
  let atHigh = end
  if (!(atHigh > 0)) return 0
  let side = 0
  for (let i = 0; i < 60 && high - low > near; i++) {
    const next = high - (atHigh * (high - low)) / (atHigh - atLow)
    const e = next > low && next < high ? next : 0.5 * (low + high)
    const gap = gapAt(e)
    if (gap === 0 || Math.abs(e - (gap > 0 ? high : low)) < near) return e
    if (gap < 0) {
      low = e
      atLow = gap
      if (side === 1) atHigh *= 0.5
      side = 1
    } else {
      high = e
      atHigh = gap
      if (side === -1) atLow *= 0.5
      side = -1
    }
  }
  return high
}
