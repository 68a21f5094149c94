import type { WorkingHold } from '../working.ts'
import { type Judged, judge } from './answer-targets.ts'
import type { LeverRange } from './range.ts'
import type { Session } from './session.ts'

/** Where the levers stand, and how the targets are judged there. */
export interface Stand {
  readonly session: Session
  /** Values of the free levers. */
  readonly x: Float64Array
  readonly judged: readonly Judged[]
  readonly widths: readonly number[]
}

/** A lever without steps is moved by this share of its range. */
const NUDGE = 1e-4
/** Within this of its limit a target stands at it. */
const NEAR = 0.005
/** Margins and aims that differ by less do not: two accuracies of flight lie between them. */
const SAME = 2e-6

/** What keeps a free lever (its lane among the free ones) from going up or down. Leaves the session at the point of `stand`. */
export function holdsOf(stand: Stand, lane: number): readonly WorkingHold[] {
  const { session, x } = stand
  const { state } = session
  const range = session.ranges[state.free[lane]!]!
  const holds = (['up', 'down'] as const).flatMap(way => holdsBelow(stand, lane, range, way))
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
  return holds
}

/** What holds it `up` is what would be lost one step further down, and the other way round. */
function holdsBelow(stand: Stand, lane: number, range: LeverRange, way: WorkingHold['way']): readonly WorkingHold[] {
  const { x, session, judged, widths } = stand
  const next = neighbour(range, x[lane]!, way === 'up' ? -1 : 1)
  const { unit } =
    session.compiled.reading.opened.info[session.compiled.program.levers[session.state.free[lane]!]!]!.lever!.written
  if (next === null) return [{ way, by: 'range', text: `${range.text(x[lane]!)} ${unit.text}`.trim() }]
  const aims = aimValues(session)
  const moved = x.slice()
  moved[lane] = next
  session.state.evaluate(moved, { accuracy: 'medium', slopes: false, scope: 'all' })
  const there = judge(session.state, widths)
  const { targets } = session.compiled.reading.opened
  const by = judged.flatMap((here, t): WorkingHold[] =>
    isLost(here, there[t]!, range.range.settings === null) ? [{ way, by: 'target', text: targets[t]!.text }] : [],
  )
  if (by.length > 0) return by
  const aim = aimLost(stand, aims, aimValues(session), there)
  return aim === null ? [] : [{ way, by: 'aim', text: aim }]
}

/** The next setting one way; null at the end of the range. */
function neighbour({ range }: LeverRange, value: number, way: 1 | -1): number | null {
  const { from, to, settings } = range
  if (settings) {
    const next = way === 1 ? settings.find(setting => setting > value) : settings.findLast(setting => setting < value)
    return next ?? null
  }
  if (way === 1 ? value >= to : value <= from) return null
  return Math.min(to, Math.max(from, value + way * NUDGE * (to - from)))
}

/** Whether a target is given up by the move, or comes nearer to that where it stands at its limit or past it. */
function isLost(here: Judged, there: Judged, nudged: boolean): boolean {
  if (here.met && !there.met) return true
  const nearer = there.margin < here.margin - SAME
  return nearer && (!here.met || (nudged && here.margin <= NEAR))
}

/** The values of the aims at the point last worked out; NaN for roomiest. */
function aimValues({ state }: Session): readonly number[] {
  return state.program.aims.map(({ value }) => (value === -1 ? Number.NaN : state.values[value]!))
}

/** The first aim that the move makes worse, unless an earlier one gains by it. */
function aimLost(
  { session, judged }: Stand,
  here: readonly number[],
  moved: readonly number[],
  there: readonly Judged[],
): string | null {
  const { state, compiled } = session
  for (const [a, { sense }] of state.program.aims.entries()) {
    const change = sense === 'roomiest' ? room(judged) - room(there) : moved[a]! - here[a]!
    const worse = sense === 'most' ? -change : change
    const scale = sense === 'roomiest' ? 1 : Math.abs(here[a]!)
    if (Math.abs(worse) > SAME * scale) return worse > 0 ? compiled.reading.opened.aims[a]!.text : null
  }
  const worse = room(judged) - room(there)
  return state.program.aims.length === 0 && worse > SAME ? 'roomiest' : null
}

function room(judged: readonly Judged[]): number {
  return Math.min(...judged.map(({ margin }) => margin))
}
