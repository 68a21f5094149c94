import type { AscentEnd, Follower } from './ascent.ts'
import { placeOfRise } from './events.ts'
import { fitStep, riseAt, speedAt } from './hermite.ts'
import { type OrbitPoint, riseTo, riseToApoapsis } from './orbit.ts'
import type { Pad } from './pad.ts'
import { spare } from './peaks.ts'
import type { Plan } from './plan.ts'
import { evaluate } from './rates.ts'
import { startsInAir, tellsMach } from './tells.ts'
import type { End, Workspace } from './workspace.ts'

/** Rows are at most this share of the flight's time apart. */
const FINENESS = 1 / 250
/** Behind a jump (burnout, say) a row shows the other side, this share of the flight's time later. */
const BEHIND = 1e-6
/** An escape is followed until it has risen by this share of the body's radius above the last burn and air, in so many steps. */
const ESCAPE_SHARE = 1
const ESCAPE_STEPS = 100

export type FlightEventName = 'ignition' | 'liftoff' | 'max q' | 'burnout' | 'space' | 'apoapsis'

/** Something that happens once in a flight: time from ignition [s], altitude [m]. */
export interface FlightEvent {
  readonly name: FlightEventName
  readonly time: number
  readonly altitude: number
}

/** What a first flight tells the one that is written down: how long it lasts from release, and when and where dynamic pressure is largest. */
export interface Outline {
  readonly duration: number
  readonly maxQTime: number
  readonly maxQAltitude: number
}

/** Follows a flight to its end, for its outline. */
export class Scout implements Follower {
  duration = 0
  maxQTime = Number.NaN
  maxQAltitude = Number.NaN
  private readonly plan: Plan
  constructor(plan: Plan) {
    this.plan = plan
  }
  step(): void {}
  event(): void {}
  end(w: Workspace, ascent: AscentEnd): void {
    if (ascent.kind === 'lost') return
    this.duration = ascent.end.time
    if (ascent.kind === 'vacuum') {
      const coast = coastPoints(this.plan, ascent.end, Number.POSITIVE_INFINITY, [])
      this.duration += coast[coast.length - 1]!.time
    }
    const [burning, coasting] = [w.maxQ[0]!, w.maxQ[1]!]
    const peak = burning.value >= coasting.value ? burning : coasting
    if (!(peak.value > 0)) return
    this.maxQTime = peak.time
    this.maxQAltitude = peak.altitude
  }
}

/** Writes a flight down: rows and events. */
export class Course implements Follower {
  readonly rows: number[] = []
  readonly events: FlightEvent[] = []
  private readonly plan: Plan
  private readonly pad: Pad
  private readonly space: number | null
  private readonly outline: Outline
  private readonly spacing: number

  constructor(plan: Plan, pad: Pad, space: number | null, outline: Outline) {
    this.plan = plan
    this.pad = pad
    this.space = space
    this.outline = outline
    this.spacing = (pad.hold + outline.duration) * FINENESS
    this.events.push({ name: 'ignition', time: 0, altitude: plan.launchAltitude })
    this.events.push({ name: 'liftoff', time: pad.hold, altitude: plan.launchAltitude })
    if (pad.hold > 0) this.rows.push(...padRows(pad, pad.hold, this.spacing, standingMach(plan)))
  }

  step(w: Workspace, from: End, to: End): void {
    if (from.time === 0) this.write(w, from)
    const dt = w.step
    const count = Math.ceil(dt / this.spacing)
    const places = Array.from({ length: count - 1 }, (_, k) => (k + 1) / count - 1)
    fitStep(w, from, to)
    const { maxQTime, maxQAltitude } = this.outline
    const peak = maxQTime > from.time && maxQTime <= to.time ? (maxQTime - to.time) / dt : Number.NaN
    if (!Number.isNaN(peak)) places.push(peak)
    const { space } = this
    const crosses = space !== null && from.altitude < space && to.altitude >= space
    const crossing = crosses ? placeOfRise(w, space - to.altitude, 0) : Number.NaN
    if (crosses) places.push(crossing)
    const end = spare(w, from, to)
    for (const e of places.sort((a, b) => a - b)) {
      end.altitude = to.altitude + riseAt(w, e)
      end.speed = speedAt(w, e)
      end.time = to.time + e * dt
      evaluate(w, end)
      this.write(w, end)
      if (e === crossing) this.note('space', end.time, space!)
      if (e === peak) this.note('max q', maxQTime, maxQAltitude)
    }
    this.write(w, to)
  }

  event(w: Workspace, burnout: boolean, before: End, after: End): void {
    if (burnout) this.note('burnout', before.time, before.altitude)
    const jump = Math.abs(after.felt - before.felt)
    if (jump <= 1e-6 * Math.abs(before.felt)) return
    const later = BEHIND * (this.pad.hold + this.outline.duration)
    const end = spare(w, before, after)
    end.altitude = after.altitude + later * after.speed
    end.speed = after.speed + later * after.acceleration
    end.time = after.time + later
    evaluate(w, end)
    this.write(w, end)
  }

  end(_: Workspace, ascent: AscentEnd): void {
    if (ascent.kind === 'lost') return
    const { end } = ascent
    if (ascent.kind === 'apoapsis') {
      this.note('apoapsis', end.time, end.altitude)
      return
    }
    const { radius } = this.plan.body
    const wanted = this.space === null ? [] : [radius + this.space]
    const points = coastPoints(this.plan, end, this.spacing, wanted)
    for (const point of points) {
      const time = end.time + point.time
      this.row(time, point.distance - radius, point.speed, 0, 0, Number.NaN, this.pad.dryMass, 0, 0)
      if (Math.abs(point.distance - wanted[0]!) <= 1e-12 * point.distance) this.note('space', time, this.space!)
    }
    const last = points[points.length - 1]!
    if (last.speed === 0) this.note('apoapsis', end.time + last.time, last.distance - radius)
  }

  sorted(): readonly FlightEvent[] {
    return [...this.events].sort((a, b) => a.time - b.time)
  }

  private note(name: FlightEventName, time: number, altitude: number): void {
    if (!this.events.some(event => event.name === name))
      this.events.push({ name, time: this.pad.hold + time, altitude })
  }

  private write(w: Workspace, end: End): void {
    const mass = w.mass - w.flow * end.time
    const thrust = w.thrust - w.back * end.pressure
    const mach = w.airKind !== 'none' && end.slowness > 0 ? end.mach : Number.NaN
    const drag = end.dragLoss * mass
    this.row(end.time, end.altitude, end.speed, Math.abs(end.felt), end.q, mach, mass, thrust, drag)
  }

  /** Adds a row, but for one at a time already written. */
  private row(time: number, ...rest: number[]): void {
    const all = this.pad.hold + time
    if (this.rows.length > 0 && !(all > this.rows[this.rows.length - 1 - rest.length]!)) return
    this.rows.push(all, ...rest)
  }
}

/** The coast above all air from the end of the ascent: to apoapsis, or a body's radius further up. */
function coastPoints(plan: Plan, end: End, spacing: number, wanted: readonly number[]): OrbitPoint[] {
  const { radius, gravity } = plan.body
  const mu = gravity * radius * radius
  const r = radius + end.altitude
  const v = end.speed
  if ((v * v * r) / (2 * mu) < 1) return riseToApoapsis(mu, r, v, spacing, wanted)
  return riseTo(mu, r, v, r + ESCAPE_SHARE * radius, ESCAPE_STEPS, wanted)
}

/** Mach at rest: none where there is no air, or it tells no sound speed. */
export function standingMach(plan: Plan): number {
  return startsInAir(plan) && tellsMach(plan.body) ? 0 : Number.NaN
}

/** Rows of a rocket held on the pad from ignition until `until` [s], which is not among them: the rider feels the local gravity. */
export function padRows(pad: Pad, until: number, spacing: number, mach: number): number[] {
  const count = Math.max(1, Math.ceil(until / spacing))
  return Array.from({ length: count }, (_, k) => (until * k) / count).flatMap(time =>
    padRow(pad, time, pad.padThrust, mach),
  )
}

/** One row on the pad. */
export function padRow(pad: Pad, time: number, thrust: number, mach: number): number[] {
  const mass = Math.max(pad.dryMass, pad.liftoffMass - pad.flow * time)
  return [time, pad.launchAltitude, 0, pad.gravity, 0, mach, mass, thrust, 0]
}
