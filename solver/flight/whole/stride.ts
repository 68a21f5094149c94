import type { Craft } from './craft.ts'
import { between, fitStep, stateBetween } from './events.ts'
import { complete } from './forces.ts'
import { createPoint, H, type Point, U } from './point.ts'
import { bend, FELT, HEATING, MACH, Q, rateOf, SPEED, type Watched } from './records.ts'
import { attempt, moveLanes, shiftLanes } from './step.ts'
import { falsePosition, MOST, Watches } from './watches.ts'
import type { Way } from './way.ts'

/** How far beyond its end a step may be extrapolated to an event, or be taken back, as a share of the step. */
const REACH = 0.05
/** A peak's place in its step is known to this; at a peak nothing hangs on it but its altitude. */
const NEAR = 1e-8
const NONE = -1

/** Points of peaks live on too, and what the stride of a flight keeps in hand: flights run one after another. */
const spot: Point = createPoint()
const GAPS = [new Float64Array(MOST), new Float64Array(MOST)] as const

/** Steps, and lands on what a step meets. */
export class Stride {
  /** The step that accuracy allows [s]. */
  natural = Number.NaN
  private readonly way: Way
  private readonly watches: Watches
  /** How far each watch is at the beginning of the step in hand and at its end; whether those of the beginning are known. */
  private gaps = GAPS[0]
  private ends = GAPS[1]
  private fresh = false
  /** The watch that the step in hand meets, and where in it (0 its end); whether it was aimed at one. */
  private met = NONE
  private place = Number.NaN
  private aimed = false
  /** Where in it peaks stand. */
  private places: number[] = []

  constructor(way: Way) {
    this.way = way
    this.watches = new Watches(way)
  }

  /** Looks anew at what may come. */
  arrange(): void {
    this.watches.arrange()
    this.fresh = false
  }

  private look(): void {
    const { watches, gaps } = this
    const { from } = this.way
    for (let i = 0; i < watches.count; i++) gaps[i] = watches.gap(i, from)
    this.fresh = true
  }

  /** One step, to the next moment or event at most. False where no step can be taken. */
  take(): boolean {
    const { way } = this
    const { craft, from, to, clock } = way
    if (!this.fresh) this.look()
    const rest = clock.time - from.time
    let last = this.aim(rest)
    const { aimed } = this
    for (let round = 0; ; round++) {
      attempt(craft, from, to, way.care)
      if (!(craft.error <= 1)) {
        this.natural = craft.step * growth(craft.error)
        return this.natural > 1e-14 * Math.max(1, Math.abs(from.time))
      }
      this.earliest(last ? 0 : Math.max(0, Math.min(REACH, rest / craft.step - 1)))
      if (this.met === NONE || this.place >= -REACH || round === 12) break
      // Too far beyond the event: once more, to where it seems to be.
      craft.step *= 1 + this.place
      last = false
    }
    if (this.met !== NONE) this.refine(rest)
    const { met } = this
    const shift = way.log.tracing ? eventsOf(craft) : null
    if (met !== NONE) {
      last = false
      moveLanes(craft, from)
      this.land(met, craft.step, this.place)
      craft.step *= 1 + this.place
    } else moveLanes(craft, from)
    const grown = craft.step * growth(craft.error)
    this.natural = met !== NONE || last || aimed ? Math.max(this.natural, grown) : grown
    const felt = this.peaks()
    if (shift) way.log.trace(craft.step, felt, shift)
    way.observer?.step(craft, from, to, craft.step, this.places)
    if (last) to.time = clock.time
    way.from = to
    way.to = from
    this.fresh = met === NONE
    if (met === NONE) {
      const { gaps } = this
      this.gaps = this.ends
      this.ends = gaps
    } else this.meet(met)
    if (last) clock.keep()
    return true
  }

  /** Chooses the step: what accuracy allows, less before the next moment (in `rest` seconds), or as far as the next event seems to be. Gives whether it goes to that moment. */
  private aim(rest: number): boolean {
    const { craft, from } = this.way
    let dt = this.natural
    let last = false
    if (dt > 0.999 * rest) {
      dt = rest
      last = true
    } else if (dt > 0.55 * rest) dt = 0.55 * rest
    const near = this.watches.nearest(this.gaps, from, 1.02 * dt)
    this.aimed = near <= 1.02 * dt && near < rest
    craft.step = this.aimed ? near : dt
    return last && !this.aimed
  }

  /** Sharpens the place of the watch met. What comes by the clock, in `rest` seconds, is not stepped over: a watch that lies behind it is not met yet. */
  private refine(rest: number): void {
    const { met, watches } = this
    const { step } = this.way.craft
    if (watches.kinds[met] === 'mach') this.place = this.polish(met, step, this.place)
    if (this.ends[met]! < 0 && this.place > rest / step - 1) this.met = NONE
  }

  /** The place at which a mach number is met, by the state there: off it by more than rounding a flight would meet it again. */
  private polish(met: number, dt: number, place: number): number {
    const { craft, from, to, scratch } = this.way
    let e = place
    for (let round = 0; round < 4; round++) {
      fitStep(craft, from, to, dt)
      between(craft, from, to, dt, e, scratch)
      const shift = -this.watches.gap(met, scratch) / (this.watches.rate(met, scratch) * dt)
      if (!(Math.abs(shift) < REACH)) return place
      e += shift
      if (Math.abs(shift) < 1e-14) break
    }
    return e
  }

  /** Moves the step's end, and the lanes, to the event met at a place near it. */
  private land(met: number, dt: number, place: number): void {
    const { craft, from, to } = this.way
    if (place !== 0) {
      shiftLanes(craft, to, dt, place)
      fitStep(craft, from, to, dt)
      stateBetween(craft, from, to, dt, place, to)
    }
    const { watches } = this
    const level = watches.isLevel(met)
    const top = watches.kinds[met] === 'apoapsis'
    if (level) to.state[H] = watches.levels[met]!
    else if (top) to.state[U] = 0
    if (place !== 0 || level || top) complete(craft, to)
  }

  /** Which watch the step in hand meets first, or just does not reach, goes to `met`; where, to `place`. */
  private earliest(reach: number): void {
    const { from, to, craft } = this.way
    const { step: dt } = craft
    const { watches, gaps, ends } = this
    this.met = NONE
    let first = reach
    let fitted = false
    for (let i = 0; i < watches.count; i++) {
      const end = watches.gap(i, to)
      ends[i] = end
      if (!(gaps[i]! < 0)) continue
      const ahead = end < 0 && reach > 0 && watches.isFitted(i)
      if (!(end >= 0) && !(ahead && end + 1.2 * reach * dt * watches.rate(i, to) >= 0)) continue
      if (!fitted) fitStep(craft, from, to, dt)
      fitted = true
      if (ahead && !(watches.fittedGap(i, to, dt, reach) >= 0)) continue
      const place = watches.place(i, from, to, dt, ahead ? 0 : -1, ahead ? reach : 0)
      if (this.met !== NONE && place >= first) continue
      first = place
      this.met = i
    }
    this.place = this.met === NONE ? 0 : first
  }

  /** Peaks inside the step taken; gives the place of one of what is felt, or 0. */
  private peaks(): number {
    const { craft, from, to } = this.way
    const inAir = craft.layer < craft.air.layers.length
    if (this.places.length > 0) this.places = []
    let felt = 0
    if (from.feltRate > 0 && !(to.feltRate > 0)) felt = this.peak(FELT)
    if (inAir && from.qRate > 0 && !(to.qRate > 0)) this.peak(Q)
    if (from.speedRate > 0 && !(to.speedRate > 0)) this.peak(SPEED)
    if (inAir && from.machRate > 0 && !(to.machRate > 0)) this.peak(MACH)
    if (inAir && from.heatRate > 0 && !(to.heatRate > 0)) this.peak(HEATING)
    return felt
  }

  /** Takes a peak where the figure is sought, and gives its place. */
  private peak(what: Watched): number {
    const { craft, from, to, log } = this.way
    if (!log.sought.asks(what)) return 0
    const { step } = craft
    fitStep(craft, from, to, step)
    const place = this.stand(what, step)
    craft.step = step
    this.places.push(place)
    return place
  }

  /** Finds a peak and takes it; where its altitude or its derivatives are asked for, by a step of its own. */
  private stand(what: Watched, dt: number): number {
    const { craft, from, to, scratch, care } = this.way
    const { sought } = this.way.log
    const place = falsePosition(-rateOf(what, from), -rateOf(what, to), NEAR, e => {
      between(craft, from, to, dt, e, scratch)
      return -rateOf(what, scratch)
    })
    between(craft, from, to, dt, place, scratch)
    if (!sought.beats(what, scratch)) return place
    const { lanes } = craft
    let part = dt * (1 + place)
    if ((lanes.length === 0 && what !== Q) || !(part > 0)) {
      sought.consider(craft, scratch, what, true)
      return place
    }
    const { evaluations } = craft
    craft.step = part
    attempt(craft, from, spot, care)
    if (what === Q) {
      const shift = -spot.qRate / bend(craft, spot)
      if (Math.abs(shift) < 0.01 * dt && part + shift > 0) {
        part += shift
        craft.step = part
        attempt(craft, from, spot, care)
      }
    }
    for (const lane of lanes) {
      lane.kept.set(lane.state)
      lane.state.set(lane.begin)
    }
    moveLanes(craft, from)
    sought.consider(craft, spot, what, true)
    for (const lane of lanes) lane.state.set(lane.kept)
    craft.evaluations = evaluations + (lanes.length > 0 ? 8 : 0)
    return place
  }

  /** A watch has been landed on. */
  private meet(met: number): void {
    const { craft, from } = this.way
    const { watches } = this
    const { lanes } = craft
    for (let l = 0; l < lanes.length; l++) lanes[l]!.event = -watches.change(met, from, l) / watches.rate(met, from)
    this.way.happen(watches.kinds[met]!)
  }
}

function eventsOf(craft: Craft): Float64Array {
  return Float64Array.from(craft.lanes, lane => lane.event)
}

/** Factor for the next step: 0.9 err^(−3/16), from 0.2 (so where there is no number) to 5, by square roots. */
function growth(error: number): number {
  const eighth = Math.sqrt(Math.sqrt(Math.sqrt(error)))
  return Math.max(0.2, Math.min(5, 0.9 / (eighth * Math.sqrt(eighth))))
}
