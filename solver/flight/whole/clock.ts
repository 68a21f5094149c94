import { complete } from './forces.ts'
import { U } from './point.ts'
import type { Appointment, Varied } from './schedule.ts'
import { carry, ignite } from './staging.ts'
import type { Keeper, Way } from './way.ts'

type Moment = 'appointment' | 'shape knot' | 'pitch knot' | 'full canopy' | 'none'

/** Moments nearer than this share are one. */
const MOMENT = 1e-13

/** Whether a moment is as good as reached. */
export function isReached(moment: number, now: number): boolean {
  return moment - now <= MOMENT * Math.max(1, Math.abs(now))
}

/** Keeps what comes by the clock: burns and drops, knots of tables of time, canopies that are full. */
export class Clock implements Keeper {
  private readonly way: Way
  time = Number.POSITIVE_INFINITY
  /** What comes at that time. */
  private kind: Moment = 'none'
  /** Next appointment. */
  private next = 0

  constructor(way: Way) {
    this.way = way
  }

  /** Whether nothing comes by the appointments any more. */
  get spent(): boolean {
    return !this.way.craft.burning && this.next >= this.way.schedule.appointments.length
  }

  /** Whether all burns are over; a stage may still be to drop. */
  get burntOut(): boolean {
    const { craft, schedule } = this.way
    if (craft.burning) return false
    for (let k = this.next; k < schedule.appointments.length; k++)
      if (schedule.appointments[k]!.kind === 'ignition') return false
    return true
  }

  arrange(): void {
    const { craft, from } = this.way
    const appointment = this.way.schedule.appointments[this.next]
    this.time = Number.POSITIVE_INFINITY
    this.kind = 'none'
    if (appointment) this.expect(appointment.at.value - craft.hold, 'appointment')
    const { shape, pitch } = craft
    if (craft.burning && shape && craft.shapePiece + 2 < shape.knots.length)
      this.expect(craft.ignition + shape.knots[craft.shapePiece + 1]! / craft.cap, 'shape knot')
    if (pitch && craft.pitchPiece + 1 < pitch.knots.length)
      this.expect(Math.max(from.time, pitch.knots[craft.pitchPiece + 1]! - craft.hold), 'pitch knot')
    if (craft.fillTime > 0) this.expect(craft.opened + craft.fillTime, 'full canopy')
  }

  /** What comes first counts. */
  private expect(time: number, kind: Moment): void {
    if (!(time < this.time)) return
    this.time = time
    this.kind = kind
  }

  keep(): void {
    const { craft } = this.way
    const { kind, time } = this
    if (kind === 'appointment') this.keepAppointments(time)
    else if (kind === 'full canopy') this.way.canopies.full()
    else {
      if (kind === 'shape knot') craft.shapePiece++
      else craft.pitchPiece++
      complete(craft, this.way.from)
    }
    this.way.arrange()
  }

  /** All that happens at one moment: peaks count before and after, not between. */
  private keepAppointments(time: number): void {
    const { craft, log, from, schedule } = this.way
    for (let first = true; ; first = false) {
      const appointment = schedule.appointments[this.next]
      if (!appointment || !isReached(appointment.at.value - craft.hold, time)) break
      this.setEvents(appointment.at)
      if (first) log.considerAll()
      this.next++
      this.apply(appointment)
    }
    log.considerAll()
    if (this.burntOut && log.fallen && log.ascending && from.state[U]! <= 0) log.closeAscent(false)
  }

  /** An event by the clock moves with its own change, counted from release. */
  private setEvents(at: Varied): void {
    this.way.craft.lanes.forEach((lane, l) => {
      lane.event = at.slopes[l]! - this.way.holdSlopes[l]!
    })
  }

  private apply(appointment: Appointment): void {
    const { way } = this
    const { craft, from, log, observer } = way
    const { burns } = way.schedule
    switch (appointment.kind) {
      case 'burnout': {
        const burn = burns[appointment.burn]!
        log.burnout(burn)
        observer?.event('burnout', craft, from, burn.stage)
        way.jump(() => {
          craft.burning = false
          craft.clipped = false
        }, burn.empty)
        craft.losing = appointment.burn + 1 < burns.length
        log.coast()
        return
      }
      case 'drop':
        log.drop(appointment.stage)
        observer?.event('drop', craft, from, appointment.stage)
        way.jump(() => carry(way, appointment.lowest), appointment.mass)
        return
      case 'ignition': {
        const burn = burns[appointment.burn]!
        observer?.event('ignition', craft, from, burn.stage)
        log.ignite(appointment.burn)
        way.jump(() => ignite(way, appointment.burn), burn.full)
      }
    }
  }
}
