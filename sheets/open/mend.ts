import { displayUnit, formatQuantity } from '../../grammar/units/choose.ts'
import { asWritten, isReading, parseUnit, toSI, type Unit } from '../../grammar/units/unit.ts'
import { type Limits, limitsAt, type Mend, marginOf, metMargin } from '../../solver/index.ts'
import type { MendAnswer, Setting } from '../answer.ts'
import { type Judged, judge } from './answer-targets.ts'
import { decimalNear, decimalText } from './decimal.ts'
import { fewFigures } from './few-figures.ts'
import type { Meter } from './meter.ts'
import type { TargetInfo } from './opened.ts'
import type { Session } from './session.ts'

/** How much of a change, or of a shortfall, rounding may add to it. */
export const ROUNDING = 1e-3
/** How near its value an `equal to` without a tolerance has to be written, well inside what counts as met. */
const EXACT = 1e-8
/** Places after the point that are tried. */
const MOST_PLACES = 15

/** One end of a target's limit as it would have to stand. */
interface Moved {
  /** Place among the ends as written; −1: the tolerance. */
  readonly end: number
  /** Old and new in SI. */
  readonly from: number
  readonly to: number
  /** Which way it moves: up is true. */
  readonly up: boolean
}

/** A limit moved as little as lets a value in, rounded to the loose side. `end` as in `Moved`; null: it is told as a factor. */
export interface MovedLimit {
  readonly end: number | null
  readonly text: string
  readonly change: string
  readonly si: number
  readonly by: number
}

/** A mend in words: the target with its limit moved as little as frees its set, and settings that meet the set then. */
export function mendAnswer(
  session: Session,
  widths: readonly number[],
  mend: Mend,
  set: readonly number[],
  meter: Meter,
): MendAnswer | null {
  const limit = movedLimit(session, widths, mend, meter)
  if (!limit) return null
  const { state, compiled } = session
  const x = fewFigures(session, mend.x, tried => {
    state.evaluate(tried, { accuracy: 'tight', slopes: false, scope: 'wanted' })
    meter.add(state.work)
    const judged = judge(state, widths)
    return set.every(t =>
      t === mend.target ? lets(state.program.targets[t]!.kind, judged[t]!, limit) : judged[t]!.met,
    )
  })
  const { end: _, ...told } = (x !== mend.x && nearerLimit(session, widths, mend.target, x, limit, meter)) || limit
  return { ...told, target: compiled.reading.opened.targets[mend.target]!.text, settings: settingsAt(session, x) }
}

/** The limit as settings in few figures need it, where that is less of a change: 8 where the search ended a hair beyond it. */
function nearerLimit(
  session: Session,
  widths: readonly number[],
  target: number,
  x: Float64Array,
  limit: MovedLimit,
  meter: Meter,
): MovedLimit | null {
  const { state } = session
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'wanted' })
  meter.add(state.work)
  const { value, margin } = judge(state, widths)[target]!
  const nearer = movedLimit(session, widths, { target, value, margin, x }, meter)
  return nearer && Math.abs(nearer.by) < Math.abs(limit.by) ? nearer : null
}

/** Whether a moved limit lets in a target's figure. */
function lets(kind: Kind, { value, limits, margin }: Judged, { end, si, by }: MovedLimit): boolean {
  if (end === null)
    return metMargin(kind, kind === 'equal to' ? -Math.abs(margin + Math.abs(by)) : margin + Math.abs(by))
  const { low, high } = limits
  const ends =
    end === -1
      ? { low: (low + high) / 2 - si, high: (low + high) / 2 + si }
      : {
          low: kind === 'at most' || end === 1 ? low : si,
          high: kind === 'at least' || (end === 0 && kind === 'within') ? high : si,
        }
  const scale = end === -1 ? si : kind === 'within' ? (ends.high - ends.low) / 2 : Math.abs(si) || limits.scale
  return metMargin(kind, marginOf(kind, { ...limits, ...ends, scale }, value))
}

/** The limit of a target moved to let in a value that breaks it by `margin`. Null where it cannot be written. */
export function movedLimit(session: Session, widths: readonly number[], mend: Mend, meter: Meter): MovedLimit | null {
  const { state, compiled } = session
  const info = compiled.reading.opened.targets[mend.target]!
  const slots = state.program.targets[mend.target]!
  if ([slots.low, slots.high, slots.tolerance].some(slot => slot >= state.program.algebra))
    return factorMend(session, mend, meter)
  const limits = limitsAt(state, slots, widths[mend.target] ?? Number.NaN)
  const moved = movedEnd(slots.kind, limits, mend)
  if (!moved) return null
  const unit = unitOfEnd(info, moved)
  const text = outward(moved, unit, slots.kind === 'equal to')
  if (text === null) return null
  const si = toSI(Number(text), unit)
  return {
    end: moved.end,
    text: rewritten(info, slots.kind, moved.end, `${text} ${unit.text}`.trim()),
    change: changeWords({ ...moved, to: si }, unit, slots.kind),
    si,
    by: si - moved.from,
  }
}

type Kind = Session['state']['program']['targets'][number]['kind']

function movedEnd(kind: Kind, { low, high, scale }: Limits, { value, margin }: Omit<Mend, 'x'>): Moved | null {
  if (!(margin < 0)) return null
  switch (kind) {
    case 'at least':
      return { end: 0, from: low, to: value, up: false }
    case 'at most':
      return { end: 0, from: high, to: value, up: true }
    case 'within':
      return value < low ? { end: 0, from: low, to: value, up: false } : { end: 1, from: high, to: value, up: true }
    case 'equal to':
      return { end: 0, from: low, to: value, up: value > low }
    case 'equal within':
      return { end: -1, from: scale, to: Math.abs(value - (low + high) / 2), up: true }
  }
}

/** The unit an end is written in; a tolerance is told in the unit of what it belongs to, where differences can be. */
function unitOfEnd(info: TargetInfo, { end, to }: Moved): Unit {
  const own = info.written.units[Math.max(0, end)] ?? info.unit
  const unit = own ?? displayUnit(info.dimension, to)
  return end === -1 ? differenceUnit(unit) : unit
}

/** Differences of readings such as degC are told in kelvins. */
export function differenceUnit(unit: Unit): Unit {
  if (!isReading(unit)) return unit
  const kelvin = parseUnit('K')
  return 'unit' in kelvin ? kelvin.unit : unit
}

/** The new end in its unit, with as few figures as add no more than a thousandth to the change, short of it by a rounding at most. Null: it cannot be written. */
export function outward({ from, to, up }: Omit<Moved, 'end'>, unit: Unit, exact: boolean): string | null {
  const value = asWritten(to, unit)
  // The value may lie a rounding of the engine's beside a short decimal: 3.8729999999999998 needs 3.873.
  const hair = 4 * Number.EPSILON * Math.abs(to)
  const least = exact ? EXACT * Math.abs(to) : ROUNDING * Math.abs(to - from)
  const first = -Math.floor(Math.log10(Math.abs(value) || 1))
  for (let places = first; places <= first + MOST_PLACES; places++) {
    const grain = 10 ** places
    const number = (up ? Math.ceil(value * grain) : Math.floor(value * grain)) / grain
    const text = decimalText(decimalNear(number))
    const by = toSI(Number(text), unit) - to
    if ((up ? by >= -hair : by <= hair) && Math.abs(by) <= Math.max(least, hair)) return text
  }
  return null
}

function rewritten({ written }: TargetInfo, kind: Kind, end: number, text: string): string {
  const ends = written.ends.map((each, place) => (place === end ? text : each))
  if (kind === 'within') return `${written.subject} within ${ends[0]} to ${ends[1]}`
  if (kind === 'equal within') return `${written.subject} equal to ${written.ends[0]} ± ${text}`
  return `${written.subject} ${kind} ${ends[0]}`
}

const ENDS = ['lower end ', 'upper end ']

function changeWords({ end, from, to }: Moved, unit: Unit, kind: Kind): string {
  const of = kind === 'within' ? ENDS[end]! : end === -1 ? 'tolerance ' : ''
  const by = formatQuantity(Math.abs(to - from), differenceUnit(unit), 3)
  const share = from === 0 ? '' : `, ${Number(((100 * Math.abs(to - from)) / Math.abs(from)).toPrecision(2))} %`
  return `${of}${by} ${to > from ? 'more' : 'less'}${share}`
}

/** Digits of a factor at which a value without a tolerance is equal to what it is told to be. */
const EQUAL_DIGITS = 10

/** A limit that hangs on levers is told as so many times itself, by what it is at the settings found: below zero less of it lets more in under an `at most`. */
function factorMend({ state, compiled }: Session, { target, margin, x }: Mend, meter: Meter): MovedLimit | null {
  const { written } = compiled.reading.opened.targets[target]!
  const { kind, value, low, high } = state.program.targets[target]!
  if (!(margin < 0) || kind === 'within') return null
  if (kind === 'equal within') {
    const times = roundedFactor(1 - margin, true)
    const text = `${written.subject} equal to ${written.ends[0]} ± ${scaled(times, written.tolerance!)}`
    return { end: null, text, change: factorWords(times), si: times, by: times - 1 }
  }
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'wanted' })
  meter.add(state.work)
  const limit = state.values[kind === 'at most' ? high : low]!
  const exact = state.values[value]! / limit
  if (!Number.isFinite(exact)) return null
  const times =
    kind === 'equal to'
      ? Number(exact.toPrecision(EQUAL_DIGITS))
      : roundedFactor(exact, (kind === 'at most') === limit > 0)
  const text = `${written.subject} ${kind} ${scaled(times, written.ends[0]!)}`
  return { end: null, text, change: factorWords(times), si: times, by: times - 1 }
}

/** A factor to five places, up or down. */
function roundedFactor(exact: number, up: boolean): number {
  return up ? Math.ceil(exact * 1e5 - 1e-6) / 1e5 : Math.floor(exact * 1e5 + 1e-6) / 1e5
}

function scaled(times: number, limit: string): string {
  return `${decimalText(decimalNear(times))} * (${limit})`
}

function factorWords(times: number): string {
  return `${Number((100 * Math.abs(times - 1)).toPrecision(2))} % ${times > 1 ? 'more' : 'less'}`
}

/** The settings of all free levers at a point, as written. */
export function settingsAt({ state, ranges, compiled }: Session, x: Float64Array): Record<string, Setting> {
  const { info } = compiled.reading.opened
  return Object.fromEntries(
    [...state.free].map((lever, lane) => {
      const { name, lever: written } = info[compiled.program.levers[lever]!]!
      const si = x[lane]!
      return [name, { si, text: `${ranges[lever]!.text(si)} ${written!.written.unit.text}`.trim() }]
    }),
  )
}
