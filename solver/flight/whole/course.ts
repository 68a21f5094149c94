import { TOLERANCES } from '../fly.ts'
import type { Craft } from './craft.ts'
import { between, fitStep } from './events.ts'
import { FLIGHT_FIGURES, figureNames } from './figures.ts'
import { flyWholeAt, type WholeFlown } from './fly.ts'
import { complete } from './forces.ts'
import { coastTo } from './kepler.ts'
import type { WholePlan } from './plan.ts'
import { ANGLE, copyState, createPoint, H, MASS, type Point, U, W } from './point.ts'
import type { Observer } from './way.ts'

/** Rows are at most this share of the flight's time apart. */
const FINENESS = 1 / 250
/** Behind a jump a row shows the other side, this share of the time of the way up later. */
const BEHIND = 1e-6
/** Points of a coast in closed form. */
const COAST_POINTS = 60

/** Something that happens in a flight: time from ignition [s], altitude [m], and which stage or parachute it happens to. */
export interface WholeEvent {
  readonly name: string
  readonly part: number
  readonly time: number
  readonly altitude: number
}

/** The columns of a row: [s], [m], [m/s], [m/s2], [Pa], mach (NaN: none), [kg], [N], [N], horizontal speed [m/s], downrange [m]. */
export const WHOLE_COLUMNS = 11

export interface WholeHistory {
  readonly flown: WholeFlown
  readonly rows: Float64Array
  readonly events: readonly WholeEvent[]
}

/** The course of a whole flight, tight, from ignition to its end. Rows stand at each step's end, each event and both sides of each jump. */
export function wholeHistory(plan: WholePlan): WholeHistory {
  const scout = new Recorder(Number.POSITIVE_INFINITY, Number.NaN)
  flyWholeAt(plan, [], TOLERANCES.tight, 'to the ground', scout)
  const recorder = new Recorder(scout.duration * FINENESS, (scout.climb || scout.duration) * BEHIND)
  const flown = flyWholeAt(plan, [], TOLERANCES.tight, 'with what it drops', recorder)
  if (flown.outcome === 'could not be flown') return { flown, rows: new Float64Array(0), events: [] }
  const rows = Float64Array.from(recorder.rows)
  const peak = maxQ(rows, flown.figures[MAX_Q]!, flown.figures[MAX_Q_ALTITUDE]!)
  const stays = flown.outcome === 'never leaves the pad'
  const top = stays ? [{ name: 'apoapsis', part: 0, time: 0, altitude: plan.launchAltitude }] : []
  const events = [...recorder.events, ...top, ...(peak ? [peak] : []), ...impacts(plan, flown)]
  return { flown, rows, events: events.sort((a, b) => a.time - b.time) }
}

/** Where the stages come down that are dropped on the way; those left on the pad are there. */
function impacts({ stages, canopies, launchAltitude }: WholePlan, { figures }: WholeFlown): WholeEvent[] {
  return figureNames(stages.length, canopies.length).flatMap(({ name, of, index }, place) => {
    const time = figures[place]!
    if (of !== 'stage' || name !== 'flight time' || !(time > 0)) return []
    return [{ name: 'impact', part: index, time, altitude: launchAltitude }]
  })
}

const MAX_Q = FLIGHT_FIGURES.indexOf('max q')
const MAX_Q_ALTITUDE = FLIGHT_FIGURES.indexOf('max q altitude')

/** The moment of max q: rows stand at peaks and at both sides of jumps, and about the one nearest to it its altitude is passed, which may be on the way down where a stage burns there; null where there is none. */
function maxQ(rows: Float64Array, value: number, altitude: number): WholeEvent | null {
  if (Number.isNaN(altitude) || rows.length <= WHOLE_COLUMNS) return null
  const row = (k: number): Float64Array => rows.subarray(k * WHOLE_COLUMNS, (k + 1) * WHOLE_COLUMNS)
  const off = (k: number): number => Math.abs(row(k)[4]! - value)
  const last = rows.length / WHOLE_COLUMNS - 1
  let nearest = 0
  for (let k = 1; k <= last; k++) if (off(k) < off(nearest)) nearest = k
  let time = row(nearest)[0]!
  for (let k = Math.max(1, nearest); k <= Math.min(last, nearest + 1); k++) {
    const [from, to] = [row(k - 1), row(k)]
    if (Math.min(from[1]!, to[1]!) <= altitude && altitude <= Math.max(from[1]!, to[1]!))
      time = passed(from, to, altitude)
  }
  return { name: 'max q', part: 0, time, altitude }
}

/** When an altitude is passed between two rows, by halving the cubic through both with their climbs. */
function passed(from: Float64Array, to: Float64Array, altitude: number): number {
  const dt = to[0]! - from[0]!
  const falls = to[1]! < from[1]!
  const climb = (row: Float64Array): number =>
    Math.sqrt(Math.max(0, row[2]! * row[2]! - row[9]! * row[9]!)) * (falls ? -dt : dt)
  const [a, b] = [climb(from), climb(to)]
  const rise = to[1]! - from[1]!
  const height = (s: number): number => from[1]! + s * (a + s * (3 * rise - 2 * a - b + s * (a + b - 2 * rise)))
  let [low, high] = [0, 1]
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2
    if (height(middle) < altitude !== falls) low = middle
    else high = middle
  }
  return from[0]! + high * dt
}

/** Writes a flight down as it goes. */
class Recorder implements Observer {
  readonly rows: number[] = []
  readonly events: WholeEvent[] = []
  duration = 0
  /** When the way up is over: at the later of apoapsis and the last burnout. */
  climb = 0
  private readonly spacing: number
  private readonly behind: number
  private readonly scratch = createPoint()
  /** Time held on the pad, known at liftoff; rows before that count from ignition by themselves. */
  private onPad = true
  private hold = 0
  private lastFelt = Number.NaN

  constructor(spacing: number, behind: number) {
    this.spacing = spacing
    this.behind = behind
  }

  step(craft: Craft, from: Point, to: Point, dt: number, peaks: readonly number[]): void {
    this.hold = this.onPad ? 0 : craft.hold
    const jumped = Math.abs(from.felt - this.lastFelt) > 1e-6 * Math.abs(from.felt)
    if (this.rows.length === 0) this.write(craft, from)
    const places = Array.from(
      { length: Math.ceil(dt / this.spacing) - 1 },
      (_, k) => (k + 1) / Math.ceil(dt / this.spacing) - 1,
    )
    if (jumped && this.behind < dt) places.unshift(this.behind / dt - 1)
    for (const peak of peaks) if (peak > -1 && peak < 0) places.push(peak)
    places.sort((a, b) => a - b)
    if (places.length > 0) fitStep(craft, from, to, dt)
    for (const place of places) {
      between(craft, from, to, dt, place, this.scratch)
      this.write(craft, this.scratch)
    }
    this.write(craft, to)
    this.lastFelt = to.felt
    this.duration = this.hold + to.time
  }

  event(name: string, craft: Craft, point: Point, part: number): void {
    if (name === 'apoapsis' || name === 'burnout') this.climb = craft.hold + point.time
    if (name === 'liftoff') this.onPad = false
    this.events.push({ name, part, time: (this.onPad ? 0 : craft.hold) + point.time, altitude: point.state[H]! })
  }

  coast(craft: Craft, from: Point, to: Point): void {
    this.hold = craft.hold
    const mu = craft.surfaceGravity * craft.radius * craft.radius
    const begin = craft.radius + from.state[H]!
    const end = craft.radius + to.state[H]!
    const falling = end < begin
    for (let k = 1; k < COAST_POINTS; k++) {
      // Near the apoapsis, where little is moved in much time, points lie close.
      const share = falling ? (k / COAST_POINTS) ** 2 : 1 - (1 - k / COAST_POINTS) ** 2
      const distance = begin + share * (end - begin)
      const leg = coastTo(mu, begin, from.state[U]!, from.state[W]!, distance, falling)
      const { scratch } = this
      copyState(from, scratch)
      scratch.time = from.time + leg.time.v
      scratch.state[H] = distance - craft.radius
      scratch.state[U] = leg.up.v
      scratch.state[W] = leg.side.v
      scratch.state[ANGLE]! += leg.angle.v
      complete(craft, scratch)
      this.write(craft, scratch)
    }
    copyState(to, this.scratch)
    complete(craft, this.scratch)
    this.write(craft, this.scratch)
    this.lastFelt = this.scratch.felt
    this.duration = this.hold + to.time
  }

  /** Adds a row, but for one at a time already written. */
  private write(craft: Craft, point: Point): void {
    const { state } = point
    const time = this.hold + point.time
    if (this.rows.length > 0 && !(time > this.rows[this.rows.length - WHOLE_COLUMNS]!)) return
    const mass = state[MASS]!
    const inAir = craft.layer < craft.air.layers.length && point.slowness > 0
    this.rows.push(
      time,
      state[H]!,
      Math.sqrt(state[U]! * state[U]! + state[W]! * state[W]!),
      point.felt,
      point.q,
      inAir ? Math.abs(point.mach) : Number.NaN,
      mass,
      point.push * mass,
      point.drag * mass,
      state[W]!,
      craft.radius * state[ANGLE]!,
    )
  }
}
