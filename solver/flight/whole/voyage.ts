import { ERROR_SPEED, LOOSE } from '../release.ts'
import { takeNumbers } from '../slab.ts'
import { layerAt } from './air.ts'
import { Canopies } from './canopies.ts'
import { Clock, isReached } from './clock.ts'
import { type Craft, createCraft } from './craft.ts'
import type { Kind } from './events.ts'
import { Ledger } from './figures.ts'
import { complete } from './forces.ts'
import { happen } from './happen.ts'
import { Log } from './log.ts'
import { standOnPad } from './pad.ts'
import type { WholeDirection, WholePlan } from './plan.ts'
import { copyNumbers, copyState, createPoint, H, MASS, type Point, SIZE, U, W } from './point.ts'
import { type Schedule, scheduleOf, type Varied } from './schedule.ts'
import { sink } from './sink.ts'
import type { Care } from './step.ts'
import { Stride } from './stride.ts'
import { coastAbove } from './vacuum.ts'
import { openPieces, stand } from './vehicle.ts'
import type { End, Observer, Way } from './way.ts'

/** Rates before a change of forces. */
const ratesBefore = new Float64Array(SIZE)
/** The points of a flight live on too. */
const POINTS = [createPoint(), createPoint(), createPoint()] as const
/** So do the crafts: that of a flight, and that of what it has dropped. */
const CRAFTS = [createCraft(), createCraft()] as const

/** One flight under way: it lives from ignition to its end. */
export class Voyage implements Way {
  readonly plan: WholePlan
  readonly directions: readonly WholeDirection[]
  readonly craft: Craft
  readonly schedule: Schedule
  readonly ledger: Ledger
  readonly log: Log
  readonly canopies: Canopies
  readonly descend: boolean
  readonly observer: Observer | null
  readonly loose: boolean
  readonly care: Care
  /** Where the flight is; where the step in hand ends; a point to look at. */
  from: Point
  to: Point
  readonly scratch: Point
  end: End | null = null
  /** Change of the time from ignition to release. */
  readonly holdSlopes: Float64Array
  readonly clock: Clock
  private readonly stride: Stride

  constructor(
    plan: WholePlan,
    directions: readonly WholeDirection[],
    tolerance: number,
    descend: boolean,
    observer: Observer | null,
    care: Care | null = null,
  ) {
    const lanes = directions.length
    ;[this.from, this.to, this.scratch] = POINTS
    this.plan = plan
    this.directions = directions
    this.descend = descend
    this.observer = observer
    this.loose = tolerance > LOOSE
    this.schedule = scheduleOf(plan, directions)
    const { burns } = this.schedule
    this.craft = CRAFTS[care ? 1 : 0]
    stand(this.craft, plan, directions, this.loose)
    this.ledger = new Ledger(plan.stages.length, plan.canopies.length, lanes)
    this.log = new Log(this)
    this.canopies = new Canopies(this)
    this.clock = new Clock(this)
    this.stride = new Stride(this)
    this.holdSlopes = takeNumbers(lanes, 0)
    const gains = burns.map(burn => burn.exhaust.value * Math.log(burn.full.value / burn.empty.value))
    const speed = ERROR_SPEED * Math.max(...gains, 0)
    this.care = care ?? { tolerance, speed, altitude: (speed * speed) / (2 * plan.body.gravity) }
  }

  /** Flies to the end, at most `limit` steps. */
  fly(limit: number): End {
    if (!standOnPad(this)) return 'never leaves the pad'
    this.start()
    return this.goOn(limit)
  }

  /** Goes on from where it is. */
  goOn(limit: number): End {
    for (let tries = 0; tries < limit && this.end === null; tries++) {
      if (isReached(this.clock.time, this.from.time)) this.clock.keep()
      else if (this.coastsFree()) coastAbove(this)
      else if (this.observer !== null || !sink(this)) if (!this.stride.take()) break
    }
    return this.end ?? 'could not be flown'
  }

  /** Begins in the middle of the air: the point and the lanes are set. */
  begin(step: number): void {
    const { craft, from } = this
    craft.mode = 'free'
    craft.direction = from.state[U]! >= 0 ? 1 : -1
    craft.layer = layerAt(craft.air, from.state[H]!, from.state[U]! > 0)
    complete(craft, from)
    if (openPieces(craft, from.mach, from.machRate)) complete(craft, from)
    this.stride.natural = step
  }

  private start(): void {
    const { craft, from, plan } = this
    craft.mode = plan.railLength > 0 ? 'rail' : 'free'
    craft.layer = layerAt(craft.air, from.state[H]!, true)
    const { pitch } = craft
    while (pitch && craft.pitchPiece + 1 < pitch.knots.length && pitch.knots[craft.pitchPiece + 1]! <= craft.hold)
      craft.pitchPiece++
    complete(craft, from)
    if (openPieces(craft, from.mach, 1)) complete(craft, from)
    const push = Math.hypot(from.rates[U]!, from.rates[W]!)
    const growth = Math.hypot(from.upJerk, from.sideJerk)
    // 300 m at the acceleration of release, or, where that is small, at its growth.
    const byPush = push > 0 ? Math.sqrt(600 / push) : Number.POSITIVE_INFINITY
    const byGrowth = growth > 0 ? Math.cbrt(1800 / growth) : Number.POSITIVE_INFINITY
    this.clock.arrange()
    this.stride.natural = Math.min(byPush, byGrowth, this.clock.time / 5)
    for (const lane of craft.lanes) lane.event = 0
    this.log.liftoff()
    this.observer?.event('liftoff', craft, from, 0)
    this.arrange()
  }

  /** Passes a change of forces: rates anew, lanes at fixed time (a later event leaves more of the old rates and less of the new ones). */
  jump(change: () => void, mass: Varied | null = null, pieces = true): void {
    const { craft, from } = this
    copyNumbers(from.rates, ratesBefore)
    change()
    if (mass) from.state[MASS] = mass.value
    complete(craft, from)
    if (craft.burning && !craft.clipped && craft.beta * from.pressure > 1) {
      craft.clipped = true
      complete(craft, from)
    }
    if (pieces && openPieces(craft, from.mach, from.machRate)) complete(craft, from)
    const { lanes } = craft
    for (let l = 0; l < lanes.length; l++) {
      const lane = lanes[l]!
      for (let k = 0; k < SIZE; k++) lane.state[k]! += (ratesBefore[k]! - from.rates[k]!) * lane.event
      if (mass) lane.state[MASS] = mass.slopes[l]! - from.rates[MASS]! * lane.event
    }
  }

  /** The same with the peaks that may stand on either side. */
  cross(change: () => void, pieces = true): void {
    this.log.considerAll()
    this.jump(change, null, pieces)
    this.log.considerAll()
  }

  /** Looks anew at what may come. */
  arrange(): void {
    this.clock.arrange()
    this.stride.arrange()
  }

  happen(kind: Kind): void {
    happen(this, kind)
  }

  /** Whether it coasts above all air with nothing to come by the clock. */
  private coastsFree(): boolean {
    const { craft } = this
    return craft.mode === 'free' && this.clock.spent && craft.layer === craft.air.layers.length && craft.fillTime === 0
  }

  /** Puts the end of a coast in closed form in place of where the flight is. */
  move(point: Point): void {
    copyState(point, this.from)
    complete(this.craft, this.from)
  }
}
