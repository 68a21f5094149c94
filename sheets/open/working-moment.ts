import { type Course, flightCourse } from '../../solver/index.ts'
import type { Session } from './session.ts'

/** A flight at one moment, SI: s, m, m/s, kg, N, N; mach NaN where there is none. */
export interface Instant {
  readonly time: number
  readonly altitude: number
  readonly speed: number
  readonly mass: number
  readonly thrust: number
  readonly drag: number
  readonly mach: number
}

/** What the largest value is sought of. */
export type Peak = 'felt acceleration' | 'dynamic pressure' | 'speed' | 'mach'

/** Two rows nearer in time than this share of the flight stand on the two sides of a jump. */
const JUMP = 2e-6
/** Rows that the course is read between with. */
const POINTS = 6
/** A row whose value is this near to the largest one, relatively, stands where it is. */
const EXACT = 1e-8
/** Where the rows of the way up stay this far below the largest value, it comes later. */
const SHORT = 1e-2
const GOLDEN = (Math.sqrt(5) - 1) / 2

/** The course of a flight, looked at by time. */
export interface Flown {
  readonly course: Course
  /** The row of an event, the last of that name, of any stage; null where it did not happen. */
  readonly event: (name: string) => Instant | null
  /** The moment of the largest value on the way up, which is known; null where there is none. */
  readonly peak: (of: Peak, value: number) => Instant | null
}

export function flownOf({ state, compiled }: Session, flight: number): Flown {
  const space = compiled.spaceSlots[flight]!
  const course = flightCourse(state, flight, space === -1 ? null : state.values[space]!)
  const table = tableOf(course)
  return {
    course,
    event: name => {
      const found = course.events.findLast(isEvent(name))
      return found ? instant(table, column => at(table, column, found.time)) : null
    },
    peak: (of, value) => peakOf(table, of, value),
  }
}

interface Table {
  readonly count: number
  readonly cell: (column: number, row: number) => number
  readonly place: (name: string) => number
  /** Rows up to here belong to the way up: to the later of apoapsis and the last burnout. */
  readonly last: number
}

/** "burnout" is also that of a stage: "burnout of booster". */
function isEvent(wanted: string): (event: { readonly name: string }) => boolean {
  return ({ name }) => name === wanted || name.startsWith(`${wanted} of `)
}

function tableOf({ columns, rows, events }: Course): Table {
  const width = columns.length
  const count = rows.length / width
  const cell = (column: number, row: number): number => rows[row * width + column]!
  const ends = ['apoapsis', 'burnout'].flatMap(name => events.filter(isEvent(name))).map(({ time }) => time)
  const until = ends.length > 0 ? Math.max(...ends) : Number.POSITIVE_INFINITY
  let last = count - 1
  while (last > 0 && cell(0, last) > until * (1 + JUMP)) last--
  return { count, cell, place: name => columns.indexOf(name), last }
}

function instant(table: Table, value: (column: number) => number): Instant {
  const named = (name: string): number => value(table.place(name))
  return {
    time: named('time'),
    altitude: named('altitude'),
    speed: named('speed'),
    mass: named('mass'),
    thrust: named('thrust'),
    drag: named('drag'),
    mach: named('mach'),
  }
}

function peakOf(course: Table, of: Peak, known: number): Instant | null {
  const { cell } = course
  const column = course.place(of)
  const up = topOf(course, column)
  // A motor that burns at the ground, or is still to be lit there, keeps the way up open till then.
  const short = up !== -1 && cell(column, up) < known * (1 - SHORT)
  const table = short ? { ...course, last: course.count - 1 } : course
  const { last } = table
  const top = short ? topOf(table, column) : up
  if (top === -1) return null
  if (Math.abs(cell(column, top) - known) <= EXACT * known) return instant(table, each => cell(each, top))
  const first = firstOf(table, top)
  // Behind a jump the row stands a little late: what moves steadily is as it was before.
  if (top > 0 && top === first)
    return { ...instant(table, each => cell(each, top)), ...steady(instant(table, each => cell(each, top - 1))) }
  const end = Math.min(last, lastOf(table, top))
  const value = (time: number): number => at(table, column, time)
  const [low, high] = [Math.max(first, top - 1), Math.min(end, top + 1)].map(row => cell(0, row))
  const time = highest(value, low!, high!)
  // A row that is higher than what lies around it is exact.
  if (value(time) <= cell(column, top)) return instant(table, each => cell(each, top))
  return instant(table, each => at(table, each, time))
}

/** The row of the largest value above zero on the way up; −1 where there is none. */
function topOf({ cell, last }: Table, column: number): number {
  let top = -1
  for (let row = 0; row <= last; row++) {
    const value = cell(column, row)
    if (value > 0 && (top === -1 || value > cell(column, top))) top = row
  }
  return top
}

function steady({ time, altitude, speed, mach }: Instant): Pick<Instant, 'time' | 'altitude' | 'speed' | 'mach'> {
  return { time, altitude, speed, mach }
}

function firstOf({ cell, last }: Table, row: number): number {
  let first = row
  while (first > 0 && cell(0, first) - cell(0, first - 1) > JUMP * cell(0, last)) first--
  return first
}

function lastOf({ cell, count, last }: Table, row: number): number {
  let end = row
  while (end < count - 1 && cell(0, end + 1) - cell(0, end) > JUMP * cell(0, last)) end++
  return end
}

/** A column at a time, read between the rows nearest to it on its side of every jump (Lagrange's polynomial). */
function at(table: Table, column: number, time: number): number {
  const { cell, count } = table
  let near = 0
  while (near < count - 1 && cell(0, near) < time) near++
  if (cell(0, near) === time || count < 2) return cell(column, near)
  const [first, end] = [firstOf(table, near), lastOf(table, near)]
  const begin = Math.max(first, Math.min(near - POINTS / 2, end - POINTS + 1))
  const rows = Array.from({ length: Math.min(POINTS, end - begin + 1) }, (_, k) => begin + k)
  return rows.reduce((sum, row) => {
    const weight = rows.reduce(
      (product, other) =>
        other === row ? product : (product * (time - cell(0, other))) / (cell(0, row) - cell(0, other)),
      1,
    )
    return sum + weight * cell(column, row)
  }, 0)
}

/** Where a function with one top in an interval is highest: the golden section. */
function highest(value: (time: number) => number, low: number, high: number): number {
  let [a, b] = [low, high]
  let [c, d] = [b - GOLDEN * (b - a), a + GOLDEN * (b - a)]
  let [atC, atD] = [value(c), value(d)]
  for (let i = 0; i < 60 && b - a > 1e-9 * Math.abs(b); i++) {
    if (atC >= atD) {
      ;[b, d, atD] = [d, c, atC]
      c = b - GOLDEN * (b - a)
      atC = value(c)
    } else {
      ;[a, c, atC] = [c, d, atD]
      d = a + GOLDEN * (b - a)
      atD = value(d)
    }
  }
  return (a + b) / 2
}
