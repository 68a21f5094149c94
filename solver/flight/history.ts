import { Course, type FlightEvent, padRow, padRows, Scout, standingMach } from './course.ts'
import { fly, flyThrough, TOLERANCES } from './fly.ts'
import { type Pad, standOnPad } from './pad.ts'
import type { BodyNumbers, Flown, Plan } from './plan.ts'

/** The columns of a time history and their units. Mach is NaN where there is no air or it tells no sound speed. */
export const HISTORY = [
  { name: 'time', unit: 's' },
  { name: 'altitude', unit: 'm' },
  { name: 'speed', unit: 'm/s' },
  { name: 'felt acceleration', unit: 'm/s^2' },
  { name: 'dynamic pressure', unit: 'Pa' },
  { name: 'mach', unit: '' },
  { name: 'mass', unit: 'kg' },
  { name: 'thrust', unit: 'N' },
  { name: 'drag', unit: 'N' },
] as const

/** A flight with its course: `rows` holds HISTORY.length numbers a row, SI, times rising from ignition; the figures are those of `fly`, tight. */
export interface History {
  readonly flown: Flown
  readonly rows: Float64Array
  /** In order of time. */
  readonly events: readonly FlightEvent[]
}

/** Rows in which what happens on the pad is told of a rocket that never leaves it. */
const PAD_ROWS = 100

/** Where space begins on a body, unless told otherwise [m]: 100 km on Earth, the atmosphere top elsewhere; without air null. */
export function spaceBoundary({ air }: BodyNumbers): number | null {
  if (!air) return null
  if (air.kind === 'profile') return air.space
  return air.kind === 'us76' ? 100000 : air.top
}

/**
 * The course of a plan's flight from ignition to apoapsis; of one that escapes, until it has risen by the body's radius above the last burn
 * and air; of one that stays on the pad, until its propellant is spent; of one that could not be flown, nothing. Rows are at most 1 % of
 * the time apart, and stand at each event and on both sides of each jump. `space` is the altitude [m] of the event "space", null for none.
 */
export function history(plan: Plan, space: number | null = spaceBoundary(plan.body)): History {
  const pad = standOnPad(plan)
  if (pad.burn === 0) return onPad(plan, pad)
  const scout = new Scout(plan)
  const flown = flyThrough(null, plan, [], TOLERANCES.tight, scout)
  if (flown.outcome === 'could not be flown') return { flown, rows: new Float64Array(0), events: [] }
  const course = new Course(plan, pad, space, scout)
  flyThrough(null, plan, [], TOLERANCES.tight, course)
  return { flown, rows: Float64Array.from(course.rows), events: course.sorted() }
}

/** What is seen of a rocket that never leaves the pad. */
function onPad(plan: Plan, pad: Pad): History {
  const flown = fly(plan, [], 'tight')
  const altitude = plan.launchAltitude
  const mach = standingMach(plan)
  const burn = plan.stages[0]!.propellantMass / pad.flow
  const apoapsis = { name: 'apoapsis', time: 0, altitude } as const
  if (!(burn > 0)) return { flown, rows: Float64Array.from(padRow(pad, 0, 0, mach)), events: [apoapsis] }
  return {
    flown,
    rows: Float64Array.of(...padRows(pad, burn, burn / PAD_ROWS, mach), ...padRow(pad, burn, 0, mach)),
    events: [{ name: 'ignition', time: 0, altitude }, apoapsis, { name: 'burnout', time: burn, altitude }],
  }
}
