import { formatNumber, formatQuantity, smallerUnit } from '../../grammar/units/choose.ts'
import { decimalsFor } from '../../grammar/units/format.ts'
import { fromSI, isReading, PLAIN, parseUnit, type Unit } from '../../grammar/units/unit.ts'
import type { Answer } from '../answer.ts'
import type { WorkingTarget } from '../working.ts'
import { asNumber } from './number.ts'

export type LimitKind = 'at least' | 'at most' | 'within' | 'equal to'

/** How a target stands: with room, touching its limit, past it, or without a value. */
export type TargetState = 'met' | 'at its limit' | 'short' | 'no value'

/** A target's row in words. */
export interface TargetWords {
  /** What is limited: "peak g". */
  readonly subject: string
  readonly kind: LimitKind
  /** "at most 6 g0". */
  readonly limit: string
  /** "5.987 g0", "infinite" or "no value". */
  readonly value: string
  readonly state: TargetState
  /** "at its limit, 0.013 g0 of room". */
  readonly words: string
}

const LIMIT = /^(.*?) (at least|at most|within|equal to) (.*)$/

/** A value nearer to its limit than this share of it gets one more figure. */
const NEAR = 0.02
/** Places after the point that are still read as a number. */
const MOST_PLACES = 8
/** Slack below this share of the limit is none. */
const NOTHING = 1e-9

/** A target of an answer in words; `quantities` tells the unit where the target does not. */
export function targetWords(target: WorkingTarget, quantities: Answer['quantities']): TargetWords {
  // No name and no expression holds these words, so the first of them begins the limit.
  const parts = LIMIT.exec(target.text)
  const subject = parts?.[1] ?? target.text
  const kind = (parts?.[2] ?? 'equal to') as LimitKind
  const limit = parts ? `${kind} ${parts[3]}` : ''
  const unit = unitNamed(target.unit ?? (Object.hasOwn(quantities, subject) ? quantities[subject]!.unit : ''))
  const state = stateOf(target, kind)
  const value = valueText(target, unit, state)
  return { subject, kind, limit, value, state, words: stateWords(target, kind, unit, state, value) }
}

/** A unit by its text, plain where it is none. */
export function unitNamed(text: string): Unit {
  const parsed = parseUnit(text)
  return 'unit' in parsed ? parsed.unit : PLAIN
}

function stateOf(target: WorkingTarget, kind: LimitKind): TargetState {
  if (target.si === null) return 'no value'
  if (!target.met) return 'short'
  // One that asks for a single value always touches it; that is no news.
  const single = kind === 'equal to' && target.limit[0] === target.limit[1]
  return target.atLimit && !single ? 'at its limit' : 'met'
}

/** The limit that the value is nearest to, or past. */
function nearestLimit(target: WorkingTarget): number {
  const value = asNumber(target.si)
  const limits = target.limit.map(asNumber).filter(each => Number.isFinite(each))
  return limits.reduce(
    (best, each) => (Math.abs(each - value) < Math.abs(best - value) ? each : best),
    limits[0] ?? Number.NaN,
  )
}

function valueText(target: WorkingTarget, unit: Unit, state: TargetState): string {
  const value = asNumber(target.si)
  const limit = nearestLimit(target)
  const near = Math.abs(value - limit) < NEAR * Math.max(Math.abs(value), Math.abs(limit))
  let digits = near ? 4 : 3
  // What is short must not read as if it stood on its limit.
  const rounded = (si: number) => Number(fromSI(si, unit).toPrecision(digits))
  while (state === 'short' && digits < 9 && rounded(value) === rounded(limit)) digits++
  return formatQuantity(value, unit, digits)
}

function stateWords(target: WorkingTarget, kind: LimitKind, unit: Unit, state: TargetState, value: string): string {
  if (state === 'no value') return target.reason ? `short: ${target.reason}` : 'short'
  const gap = Math.abs(asNumber(target.si) - nearestLimit(target))
  if (!Number.isFinite(gap)) return state === 'short' ? 'short, infinitely far' : `${state}, infinite room`
  const size = Math.max(Math.abs(nearestLimit(target)), target.scale ?? 0)
  if (state !== 'short' && (gap <= NOTHING * size || isSingle(target, kind))) return state
  const distance = gapText(gap, unit, value)
  if (state !== 'short') return `${state}, ${distance} of room`
  return `short, ${distance} ${asNumber(target.si) > nearestLimit(target) ? 'over' : 'under'}`
}

function isSingle(target: WorkingTarget, kind: LimitKind): boolean {
  return kind === 'equal to' && target.limit[0] === target.limit[1]
}

/**
 * A distance beside a value: to the places the value is shown with, so that the two add up for the reader; in a smaller
 * unit, or with more places, where that would leave less than two figures of it.
 */
function gapText(gap: number, unit: Unit, value: string): string {
  // A difference of readings is told in kelvins.
  const own = isReading(unit) ? unitNamed('K') : unit
  const decimals = /\.(\d+)/.exec(value)?.[1]?.length ?? 0
  const number = fromSI(gap, own)
  const whole = Math.abs(Number(number.toFixed(decimals)) - number) <= NOTHING * number
  if (whole || decimalsFor(number, 2) <= decimals) return withUnit(formatNumber(number, 3, { decimals }), own)
  const smaller = smallerUnit(own)
  if (smaller) return formatQuantity(gap, smaller, 2)
  const more = decimalsFor(number, 2)
  return withUnit(formatNumber(number, 2, more <= MOST_PLACES ? { decimals: more } : {}), own)
}

function withUnit(number: string, unit: Unit): string {
  return unit.text === '' ? number : `${number} ${unit.text}`
}
