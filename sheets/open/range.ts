import { BASE_SYMBOLS } from '../../grammar/units/dimension.ts'
import { asWritten, decimalToSI, fromSI, toSI, type Unit } from '../../grammar/units/unit.ts'
import type { Range } from '../../solver/index.ts'
import { type Decimal, decimalFrom, decimalNear, decimalText, stepFrom, stepsBetween, withPlaces } from './decimal.ts'

/** The most settings one lever may have: beyond, the step is surely a slip. */
export const MOST_SETTINGS = 1_000_000

/** A lever's ends and step as written: decimals of its unit where they are plain literals, else null (then the SI value tells). */
export interface RangeText {
  readonly unit: Unit
  readonly from: Decimal | null
  readonly to: Decimal | null
  readonly step: Decimal | null
}

/** A range ready to search, and how a setting in it is written. */
export interface LeverRange {
  readonly range: Range
  /** The setting's own text in the lever's unit, exact for a step: "61". */
  readonly text: (si: number) => string
}

export type RangeFault = 'upside down' | 'no width' | 'no step' | 'too many'

/**
 * The range from SI ends (and step, null for none), counted in decimals of the lever's unit.
 * Faults: the ends the wrong way round, equal, a step not above zero, over MOST_SETTINGS settings.
 */
export function leverRange(written: RangeText, from: number, to: number, step: number | null): LeverRange | RangeFault {
  const { unit } = written
  if (from > to) return 'upside down'
  if (from === to) return 'no width'
  if (step === null) return continuous(unit, from, to)
  if (!(step > 0)) return 'no step'
  const first = written.from ?? shortDecimal(fromSI(from, unit))
  const last = written.to ?? decimalNear(fromSI(to, unit))
  const by = written.step ?? shortDecimal(stepInUnit(step, unit))
  if (!first || !by) return workedOut(unit, from, to, step)
  const count = stepsBetween(first, last, by)
  if (count > BigInt(MOST_SETTINGS)) return 'too many'
  const settings = countedSettings(first, by, Number(count), unit)
  return {
    range: { from, to, settings, inward: x => x },
    text: si => {
      const k = nearestSetting(settings, si)
      return settings[k] === si ? decimalText(stepFrom(first, k, by)) : plainText(si, unit)
    },
  }
}

/** The settings first + k·by in SI, each the double nearest to the true value. */
export function countedSettings(first: Decimal, by: Decimal, count: number, unit: Unit): Float64Array {
  const places = Math.max(first.places, by.places)
  const under = 10 ** places * Number(unit.divide)
  const begin = Number(withPlaces(first, places)) * Number(unit.multiply)
  const step = Number(withPlaces(by, places)) * Number(unit.multiply)
  const most = Math.max(under, Math.abs(begin), count * Math.abs(step), Math.abs(begin + count * step))
  // Of whole numbers that doubles hold exactly the quotient is the nearest there is.
  if (unit.offset === 0n && most <= Number.MAX_SAFE_INTEGER)
    return Float64Array.from({ length: count }, (_, k) => (begin + k * step) / under)
  return Float64Array.from({ length: count }, (_, k) => decimalToSI(decimalText(stepFrom(first, k, by)), unit))
}

/** Digits of a number that is a decimal and no fraction cut short. */
const SHORT = 12

/** A number that somebody may have written; null for what was worked out to no end, such as a third. */
function shortDecimal(value: number): Decimal | null {
  const decimal = decimalNear(value)
  return decimalText(decimal).replace(/^-?0*\.?0*|\./g, '').length <= SHORT ? decimal : null
}

/** An end this near to a step, as a share of the range, is that step: three times a third is one. */
const HAIR = 1e-12

/** Steps whose beginning or size is no decimal: counted in doubles. */
function workedOut(unit: Unit, from: number, to: number, step: number): LeverRange | RangeFault {
  const last = Math.floor(((to - from) / step) * (1 + HAIR) + HAIR)
  if (last + 1 > MOST_SETTINGS) return 'too many'
  const settings = Float64Array.from({ length: last + 1 }, (_, k) => from + k * step)
  if (Math.abs(settings[last]! - to) <= HAIR * (to - from)) settings[last] = to
  return { range: { from, to, settings, inward: x => x }, text: si => plainText(si, unit) }
}

/**
 * The range beyond one end, as wide again, the steps going on; null where that holds no setting.
 * What a lever would need to move to, were it allowed. One whose range holds nothing below zero goes no lower than zero: it is an amount, of
 * which there is no less than none (common practice, no source). An angle may lean either way.
 */
export function rangeBeyond(written: RangeText, { range }: LeverRange, end: 'from' | 'to'): Range | null {
  const { unit } = written
  const { from, to, settings } = range
  const width = to - from
  const least = from >= 0 && unit.dimension[ANGLE] === 0 ? 0 : Number.NEGATIVE_INFINITY
  if (settings === null) {
    const [low, high] = end === 'to' ? [to, to + width] : [Math.max(least, from - width), from]
    return low < high ? continuous(unit, low, high).range : null
  }
  const step = settings.length > 1 ? settings[1]! - settings[0]! : width
  const first = written.from ?? shortDecimal(fromSI(from, unit))
  const by = written.step ?? shortDecimal(stepInUnit(step, unit))
  const many = Math.max(1, settings.length - 1)
  const places = Array.from({ length: many }, (_, i) => (end === 'to' ? settings.length + i : i - many))
  const more = Float64Array.from(places, k =>
    first && by ? decimalToSI(decimalText(stepFrom(first, k, by)), unit) : settings[0]! + k * step,
  )
  const kept = more.filter(x => x >= least)
  return kept.length === 0 ? null : { from: kept[0]!, to: kept[kept.length - 1]!, settings: kept, inward: x => x }
}

/** The place of angle among the powers of a dimension. */
const ANGLE = BASE_SYMBOLS.indexOf('rad')

/** A difference of temperatures has no offset, a value has: a step is a difference. */
function stepInUnit(step: number, unit: Unit): number {
  return fromSI(step, { ...unit, offset: 0n })
}

function continuous(unit: Unit, from: number, to: number): LeverRange {
  const inward = (x: number): number => {
    const written = Number(fromSI(x, unit).toPrecision(9))
    const si = toSI(written, unit)
    if (si >= from && si <= to) return si
    const [low, high] = [fromSI(from, unit), fromSI(to, unit)]
    const ulp = 10 ** (Math.floor(Math.log10(Math.abs(written) || 1)) - 8)
    const moved = toSI(Number((si < from ? written + ulp : written - ulp).toPrecision(9)), unit)
    if (moved >= from && moved <= to) return moved
    return si < from ? toSI(low, unit) : toSI(high, unit)
  }
  return {
    range: { from, to, settings: null, inward: x => Math.min(to, Math.max(from, inward(x))) },
    text: si => plainText(si, unit),
  }
}

/** The place of the setting nearest to a value; settings rise. */
export function nearestSetting(settings: Float64Array, si: number): number {
  let low = 0
  let high = settings.length - 1
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (settings[middle]! <= si) low = middle
    else high = middle
  }
  return Math.abs(settings[low]! - si) <= Math.abs(settings[high]! - si) ? low : high
}

/** A value in a unit as plain digits, nine figures where it has more. */
export function plainText(si: number, unit: Unit): string {
  const value = asWritten(si, unit)
  const short = decimalFrom(String(Number(value.toPrecision(9))))
  return short ? decimalText(short) : String(value)
}
