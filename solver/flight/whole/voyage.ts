import { layerAt } from './air.ts'
import { Canopies } from './canopies.ts'
import type { Craft } from './craft.ts'
import { between, placeOf, type Watch } from './events.ts'
import { Ledger } from './figures.ts'
import { complete, vary } from './forces.ts'
import { Log } from './log.ts'
import { standOnPad } from './pad.ts'
import type { WholeDirection, WholePlan } from './plan.ts'
import { copyState, createPoint, H, MASS, type Point, SIZE, U } from './point.ts'
import { figureAt, type Watched } from './records.ts'
import { type Appointment, type Schedule, scheduleOf, type Varied } from './schedule.ts'
import { attempt, type Care, moveLanes } from './step.ts'
import { coastAbove } from './vacuum.ts'
import { dragPieces, openPieces, passKnot, standing } from './vehicle.ts'
import { arrangeWatches } from './watches.ts'
import type { End, Observer, Way } from './way.ts'

/** Share of the best stage's ideal speed gain that is added to speed where errors are taken relative to it. */
const ERROR_SPEED = 0.03
/** Tolerance above which there are no restarts at layer edges and drag knots. */
const LOOSE = 1e-5
/** Parts of a step between which what is felt is written down. */
const TRACE_PARTS = 8
/** Where what is felt changes by less [m/s2] along a step its ends tell enough. */
const STEADY = 0.02
/** A step shorter than this share of what accuracy allows has led nowhere. */
const NO_STEP = 1e-9
/** Moments nearer than this share are one. */
const MOMENT = 1e-13

type Clock = {
  readonly time: number
  readonly kind: 'appointment' | 'shape knot' | 'pitch knot' | 'full canopy' | 'none'
}

/** The points of a flight live on too. */
const POINTS = [createPoint(), createPoint(), createPoint()] as const

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
  /** Next appointment. */
  next = 0
  end: End | null = null
  /** Change of the time from ignition to release. */
  readonly holdSlopes: Float64Array
  private natural = 0
  private watches: readonly Watch[] = []
  /** Peaks just stood upon. */
  private readonly stood = new Set<Watch['kind']>()

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
    this.craft = standing(plan, directions, burns[0]?.stage ?? 0, this.loose)
    this.ledger = new Ledger(plan.stages.length, plan.canopies.length, lanes)
    this.log = new Log(this)
    this.canopies = new Canopies(this)
    this.holdSlopes = new Float64Array(lanes)
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
      const clock = this.clock()
      if (clock.time - this.from.time <= MOMENT * Math.max(1, Math.abs(this.from.time))) this.keep(clock)
      else if (this.coastsFree()) coastAbove(this)
      else if (!this.advance(clock)) break
    }
    return this.end ?? 'could not be flown'
  }

  get lanes(): number {
    return this.directions.length
  }

  /** Whether all burns are over. */
  get spent(): boolean {
    return !this.craft.burning && this.next >= this.schedule.appointments.length
  }

  /** Begins in the middle of the air: the point and the lanes are set. */
  begin(step: number): void {
    const { craft, from } = this
    craft.mode = 'free'
    craft.direction = from.state[U]! >= 0 ? 1 : -1
    craft.layer = layerAt(craft.air, from.state[H]!, from.state[U]! > 0)
    complete(craft, from)
    openPieces(craft, from.mach, from.machRate)
    complete(craft, from)
    this.natural = step
  }

  private start(): void {
    const { craft, from, plan } = this
    craft.mode = plan.railLength > 0 ? 'rail' : 'free'
    craft.layer = layerAt(craft.air, from.state[H]!, true)
    const { pitch } = craft
    while (pitch && craft.pitchPiece + 1 < pitch.knots.length && pitch.knots[craft.pitchPiece + 1]! <= craft.hold)
      craft.pitchPiece++
    complete(craft, from)
    openPieces(craft, from.mach, 1)
    complete(craft, from)
    const push = Math.hypot(from.rates[1]!, from.rates[2]!)
    const growth = Math.hypot(from.upJerk, from.sideJerk)
    // 300 m at the acceleration of release, or, where that is small, at its growth.
    const byPush = push > 0 ? Math.sqrt(600 / push) : Number.POSITIVE_INFINITY
    const byGrowth = growth > 0 ? Math.cbrt(1800 / growth) : Number.POSITIVE_INFINITY
    this.natural = Math.min(byPush, byGrowth, this.clock().time / 5)
    for (const lane of craft.lanes) lane.event = 0
    this.log.liftoff()
    this.observer?.event('liftoff', craft, from, 0)
    this.arrange()
  }

  /** The next moment that comes by the clock. */
  private clock(): Clock {
    const { craft, from } = this
    const appointment = this.schedule.appointments[this.next]
    let time = appointment ? appointment.at.value - craft.hold : Number.POSITIVE_INFINITY
    let kind: Clock['kind'] = appointment ? 'appointment' : 'none'
    const sooner = (moment: number, what: Clock['kind']): void => {
      if (!(moment < time)) return
      time = moment
      kind = what
    }
    if (craft.burning && craft.shape && craft.shapePiece + 2 < craft.shape.knots.length)
      sooner(craft.ignition + craft.shape.knots[craft.shapePiece + 1]! / craft.cap, 'shape knot')
    const { pitch } = craft
    if (pitch && craft.pitchPiece + 1 < pitch.knots.length)
      sooner(Math.max(from.time, pitch.knots[craft.pitchPiece + 1]! - craft.hold), 'pitch knot')
    if (craft.fillTime > 0) sooner(craft.opened + craft.fillTime, 'full canopy')
    return { time, kind }
  }

  private keep({ kind, time }: Clock): void {
    const { craft } = this
    if (kind === 'appointment') this.keepAppointments(time)
    else if (kind === 'full canopy') this.canopies.full()
    else {
      if (kind === 'shape knot') craft.shapePiece++
      else craft.pitchPiece++
      complete(craft, this.from)
    }
    this.arrange()
  }

  /** All that happens at one moment: peaks count before and after, not between. */
  private keepAppointments(time: number): void {
    const { appointments } = this.schedule
    for (let first = true; ; first = false) {
      const appointment = appointments[this.next]
      if (!appointment || appointment.at.value - this.craft.hold > time + MOMENT * Math.max(1, Math.abs(time))) break
      this.setEvents(appointment.at)
      if (first) this.log.considerAll()
      this.next++
      this.apply(appointment)
    }
    this.log.considerAll()
    if (this.spent && this.log.fallen && this.log.ascending && this.from.state[U]! <= 0) this.log.closeAscent()
  }

  /** An event by the clock moves with its own change, counted from release. */
  private setEvents(at: Varied): void {
    this.craft.lanes.forEach((lane, l) => {
      lane.event = at.slopes[l]! - this.holdSlopes[l]!
    })
  }

  private apply(appointment: Appointment): void {
    const { craft } = this
    const { burns } = this.schedule
    switch (appointment.kind) {
      case 'burnout': {
        const burn = burns[appointment.burn]!
        this.log.burnout(burn)
        this.observer?.event('burnout', craft, this.from, burn.stage)
        this.jump(() => {
          craft.burning = false
          craft.clipped = false
        }, burn.empty)
        this.log.coasting = true
        return
      }
      case 'drop':
        this.log.drop(appointment.stage)
        this.observer?.event('drop', craft, this.from, appointment.stage)
        this.jump(() => this.carry(appointment.lowest), appointment.mass)
        return
      case 'ignition': {
        const burn = burns[appointment.burn]!
        this.observer?.event('ignition', craft, this.from, burn.stage)
        this.log.ignite(appointment.burn)
        this.jump(() => this.ignite(appointment.burn), burn.full)
      }
    }
  }

  /** The stage that is lowest from now on sets the drag. */
  carry(stage: number): void {
    const { craft, plan, directions } = this
    craft.area = plan.stages[stage]!.referenceArea
    craft.dragPieces = dragPieces(plan, directions, stage, this.loose)
    craft.pieceLow = 0
    craft.pieceHigh = craft.dragPieces.starts.length - 1
    craft.lanes.forEach((lane, l) => {
      lane.area = directions[l]!.stages[stage]!.referenceArea
    })
  }

  ignite(index: number): void {
    const { craft } = this
    const burn = this.schedule.burns[index]!
    craft.burning = true
    craft.vacuum = burn.vacuum.value
    craft.cap = burn.cap.value
    craft.beta = burn.beta.value
    craft.exhaust = burn.exhaust.value
    craft.shape = burn.shape
    craft.shapePiece = 0
    craft.ignition = burn.ignition.value - craft.hold
    craft.clipped = false
    craft.lanes.forEach((lane, l) => {
      lane.vacuum = burn.vacuum.slopes[l]!
      lane.cap = burn.cap.slopes[l]!
      lane.beta = burn.beta.slopes[l]!
      lane.exhaust = burn.exhaust.slopes[l]!
      lane.burnClock = this.holdSlopes[l]! - burn.ignition.slopes[l]!
    })
  }

  /** Passes a change of forces: rates anew, lanes at fixed time (a later event leaves more of the old rates and less of the new ones). */
  jump(change: () => void, mass: Varied | null = null, pieces = true): void {
    const { craft, from } = this
    const before = from.rates.slice()
    change()
    if (mass) from.state[MASS] = mass.value
    complete(craft, from)
    if (craft.burning && !craft.clipped && craft.beta * from.pressure > 1) {
      craft.clipped = true
      complete(craft, from)
    }
    if (pieces) {
      openPieces(craft, from.mach, from.machRate)
      complete(craft, from)
    }
    craft.lanes.forEach((lane, l) => {
      for (let k = 0; k < SIZE; k++) lane.state[k]! += (before[k]! - from.rates[k]!) * lane.event
      if (mass) lane.state[MASS] = mass.slopes[l]! - from.rates[MASS]! * lane.event
    })
  }

  /** The same with the peaks that may stand on either side. */
  cross(change: () => void, pieces = true): void {
    this.log.considerAll()
    this.jump(change, null, pieces)
    this.log.considerAll()
  }

  arrange(): void {
    this.watches = arrangeWatches(this)
    this.stood.clear()
  }

  /** Whether it coasts above all air with nothing to come by the clock. */
  private coastsFree(): boolean {
    const { craft } = this
    return craft.mode === 'free' && this.spent && craft.layer === craft.air.layers.length && craft.fillTime === 0
  }

  /** One step, to the next moment or event at most. False where no step can be taken. */
  private advance(clock: Clock): boolean {
    const { craft, from, to, care } = this
    const rest = clock.time - from.time
    let dt = this.natural
    let last = false
    if (dt > 0.999 * rest) {
      dt = rest
      last = true
    } else if (dt > 0.55 * rest) dt = 0.55 * rest
    const near = this.nearest(dt)
    const aimed = near < dt
    if (aimed) {
      dt = near
      last = false
    }
    let error = attempt(craft, from, to, dt, care)
    if (!(error <= 1)) {
      this.natural = dt * (Number.isFinite(error) ? growth(error) : 0.2)
      return this.natural > 1e-14 * Math.max(1, Math.abs(from.time))
    }
    let met: Watch | null = null
    for (let round = 0; round < 12; round++) {
      const found = this.earliest(dt, met)
      if (!found) break
      met = found.watch
      last = false
      dt *= 1 + found.place
      error = attempt(craft, from, to, dt, care)
      dt = this.refine(met, dt)
    }
    const begin = this.log.tracing ? feltSlopes(craft, from) : null
    const shift = begin && craft.lanes.some(lane => lane.event !== 0) ? eventsOf(craft) : null
    moveLanes(craft, from, dt)
    if (begin) this.trace(dt, begin, shift)
    const grown = dt * growth(error)
    this.natural = met || last || aimed ? Math.max(this.natural, grown) : grown
    this.observer?.step(craft, from, to, dt)
    if (last) to.time = clock.time
    this.from = to
    this.to = from
    // Two peaks in one moment would else be stood upon in turn for ever.
    if (dt > NO_STEP * this.natural) this.stood.clear()
    if (met) this.meet(met)
    else if (last) this.keep(clock)
    return true
  }

  /** Writes down what is felt along the step just taken, at its ends and between. */
  private trace(dt: number, begin: Float64Array, shift: Float64Array | null): void {
    const { craft, from, to, scratch, log } = this
    const end = feltSlopes(craft, to)
    log.felt(from, begin, end, 0, shift)
    const change = Math.abs(to.felt - from.felt) + dt * (Math.abs(from.feltRate) + Math.abs(to.feltRate))
    const parts = change < STEADY ? 1 : TRACE_PARTS
    for (let k = 1; k < parts; k++) {
      between(craft, from, to, dt, k / parts - 1, scratch)
      log.felt(scratch, begin, end, k / parts, null)
    }
    log.felt(to, begin, end, 1, null)
  }

  /** Lands on a watch as exactly as the integrator can: Newton on the step's length. */
  private refine(watch: Watch, begin: number): number {
    const { craft, from, to, care } = this
    let dt = begin
    if (!isPeak(watch.kind)) {
      for (let i = 0; i < 5; i++) {
        const shift = -watch.gap(to) / watch.rate(to)
        if (!(Math.abs(shift) > 1e-12 * dt) || !(dt + shift > 0)) break
        dt += shift
        attempt(craft, from, to, dt, care)
      }
    }
    if (!Number.isNaN(watch.altitude)) {
      to.state[H] = watch.altitude
      complete(craft, to)
    }
    if (watch.kind === 'apoapsis') {
      to.state[U] = 0
      complete(craft, to)
    }
    return dt
  }

  /** The first watch that the step in hand meets, before the one already landed on. */
  private earliest(dt: number, met: Watch | null): { watch: Watch; place: number } | null {
    const { from, to, craft, scratch } = this
    let best: { watch: Watch; place: number } | null = null
    for (const watch of this.watches) {
      if (watch === met || this.stood.has(watch.kind)) continue
      if (!(watch.gap(from) < 0 && watch.gap(to) >= 0)) continue
      const place = placeOf(craft, from, to, dt, watch, scratch)
      if (best && place >= best.place) continue
      // What comes within rounding of the event already landed on comes with it.
      if (met && place > -1e-11) continue
      if (isPeak(watch.kind) && !this.beats(watch.kind, met !== null && place === 0)) continue
      best = { watch, place }
    }
    return best
  }

  /** Whether the peak at the scratch point is larger than one that is kept. */
  private beats(kind: Watch['kind'], atEnd: boolean): boolean {
    const what = watchedOf(kind)
    const point = atEnd ? this.to : this.scratch
    return this.log.sets().some(set => set[what] !== undefined && figureAt(what, point) > set[what].value)
  }

  /** About when the next altitude or mach number that is watched is met: a little beyond it, so that the step meets it. */
  private nearest(horizon: number): number {
    const { from } = this
    let near = Number.POSITIVE_INFINITY
    for (const watch of this.watches) {
      if (Number.isNaN(watch.altitude) && watch.kind !== 'mach') continue
      const gap = -watch.gap(from)
      if (!(gap > 0)) continue
      const rising = watch.rate(from)
      const altitude = !Number.isNaN(watch.altitude)
      const sign = altitude ? Math.sign(watch.altitude - from.state[H]!) : 0
      const bend = altitude ? sign * from.rates[U]! : 0
      const square = rising * rising + 2 * bend * gap
      if (!(square > 0)) continue
      const t = (2 * gap) / (rising + Math.sqrt(square))
      if (t > 0 && t < horizon) near = Math.min(near, t)
    }
    return near * 1.0005
  }

  private meet(watch: Watch): void {
    const { craft, from } = this
    craft.lanes.forEach((lane, l) => {
      lane.event = -watch.change(from, l) / watch.rate(from)
    })
    if (isPeak(watch.kind)) {
      this.log.stand()
      this.stood.add(watch.kind)
      return
    }
    this.happen(watch.kind)
  }

  /** What a met event brings, and what lies at the same altitude; `lane.event` must be set. */
  happen(kind: Watch['kind']): void {
    const { craft, from, log, plan } = this
    const falling = from.state[U]! < 0
    if (kind === 'edge' && falling && from.state[H]! === plan.launchAltitude) {
      this.happen('ground')
      return
    }
    if (kind !== 'space' && log.spaceEdge === from.state[H]! && log.inSpace === falling) this.happen('space')
    switch (kind) {
      case 'edge':
        this.cross(() => {
          craft.layer = layerAt(craft.air, from.state[H]!, from.state[U]! > 0)
        })
        break
      case 'mach':
        this.cross(() => passKnot(craft, from.machRate > 0), false)
        break
      case 'clip':
        this.cross(() => {
          craft.clipped = !craft.clipped
        })
        break
      case 'rail end':
        this.log.railEnd()
        this.observer?.event('rail end', craft, from, 0)
        this.cross(() => {
          craft.mode = 'free'
        })
        break
      case 'space':
        this.log.space()
        this.observer?.event('space', craft, from, 0)
        break
      case 'apoapsis':
        this.apoapsis()
        break
      case 'periapsis':
        if (craft.mode === 'rail')
          this.cross(() => {
            craft.direction = 1
          })
        else this.end = 'goes into orbit'
        break
      case 'opening':
        this.canopies.open()
        break
      case 'ground':
        this.ground()
        break
      default:
        throw new Error(`nothing happens at ${kind}`)
    }
    if (this.end !== null) return
    if (this.canopies.opensHere()) this.canopies.open()
    this.arrange()
  }

  private apoapsis(): void {
    const { craft, from } = this
    this.log.apoapsis()
    this.observer?.event('apoapsis', craft, from, 0)
    this.cross(() => {
      craft.direction = -1
      craft.layer = layerAt(craft.air, from.state[H]!, false)
    })
    if (this.spent && this.log.ascending) this.log.closeAscent()
  }

  private ground(): void {
    this.log.considerAll()
    if (this.log.ascending) this.log.closeAscent()
    this.log.ground()
    this.observer?.event('touchdown', this.craft, this.from, 0)
    this.end = this.canopies.verdict()
  }

  /** Puts the end of a coast in closed form in place of where the flight is. */
  move(point: Point): void {
    copyState(point, this.from)
    complete(this.craft, this.from)
  }
}

function eventsOf(craft: Craft): Float64Array {
  return Float64Array.from(craft.lanes, lane => lane.event)
}

/** Change of what is felt, by lane at fixed time. */
function feltSlopes(craft: Craft, point: Point): Float64Array {
  return Float64Array.from(craft.lanes, (lane, l) => {
    vary(craft, point, lane, l)
    return craft.change.felt
  })
}

function isPeak(kind: Watch['kind']): boolean {
  return kind === 'felt' || kind === 'q' || kind === 'speed' || kind === 'mach peak' || kind === 'heat'
}

function watchedOf(kind: Watch['kind']): Watched {
  return kind === 'mach peak' ? 'mach' : (kind as Watched)
}

/** Factor for the next step: 0.9 err^(−3/16), from 0.2 to 5, by square roots. */
function growth(error: number): number {
  const eighth = Math.sqrt(Math.sqrt(Math.sqrt(error)))
  return Math.max(0.2, Math.min(5, 0.9 / (eighth * Math.sqrt(eighth))))
}
