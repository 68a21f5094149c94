import { fromSI, type Unit } from './unit.ts'

/** How numbers are laid out for reading. */
export interface NumberLook {
  /** Between number and unit: a plain blank in a terminal, a no-break space on a screen or in a picture. */
  readonly blank?: string
  /** Places after the point, instead of as many as the figures ask for. */
  readonly decimals?: number
}

/** Whole numbers from here on are written with a power of ten. */
const LARGE = 1e9
/** Numbers smaller than this are written with a power of ten. */
const SMALL = 1e-4
/** A number this near to its own rounding, relatively, loses the zeros that end it. */
const ROUND = 1e-12

/**
 * A quantity ready to read, in `unit`: "100.1 km", "61 %", "1,206 m/s". `digits` significant figures, but the whole part
 * is never rounded away; zeros at the end only where they were worked out, so 2 is "2". True minus. No value and
 * infinite are words.
 */
export function formatQuantity(si: number, unit: Unit, digits: number, look: NumberLook = {}): string {
  if (Number.isNaN(si)) return 'no value'
  if (!Number.isFinite(si)) return si > 0 ? 'infinite' : '−infinite'
  const number = formatNumber(fromSI(si, unit), digits, look)
  return unit.text === '' ? number : `${number}${look.blank ?? ' '}${unit.text}`
}

/** A finite number ready to read, as `formatQuantity` writes it. */
export function formatNumber(value: number, digits: number, look: NumberLook = {}): string {
  const size = Math.abs(value)
  const decimals = look.decimals ?? decimalsFor(value, digits)
  if (size >= LARGE || (size < SMALL && size > 0 && look.decimals === undefined)) {
    return spread(trimmed(value.toExponential(Math.max(0, digits - 1)), value).replace('e+', 'e'))
  }
  return spread(trimmed(value.toFixed(Math.min(decimals, 100)), value))
}

/** Places after the point that give a number so many significant figures. */
export function decimalsFor(value: number, digits: number): number {
  const size = Math.abs(value)
  if (size === 0 || !Number.isFinite(size)) return 0
  // The exponent after rounding: 9.996 to three figures is 10.0.
  const exponent = Number(size.toExponential(Math.max(0, digits - 1)).split('e')[1])
  return Math.max(0, digits - 1 - exponent)
}

/** A decimal as it was written or settled, every digit kept: "1234.5" is "1,234.5", "-2" is "−2". */
export function exactText(decimal: string): string {
  return spread(decimal)
}

/** Without the zeros that end a fraction, when the number is that fraction exactly. */
function trimmed(text: string, value: number): string {
  if (!text.includes('.') || Math.abs(Number(text) - value) > ROUND * Math.abs(value)) return text
  const [mantissa, exponent] = text.split('e')
  return mantissa!.replace(/\.?0+$/, '') + (exponent === undefined ? '' : `e${exponent}`)
}

/** Thousands set apart by commas, and a true minus; a zero has no sign. */
function spread(text: string): string {
  const sign = text.startsWith('-') && /[1-9]/.test(text.split(/e/i)[0]!) ? '−' : ''
  const [mantissa, exponent] = text.replace(/^[+-]/, '').split(/e/i)
  const [whole, fraction] = mantissa!.split('.')
  const grouped = whole!.replace(/\B(?=(\d{3})+$)/g, ',')
  const power = exponent === undefined ? '' : `e${exponent.replace('-', '−')}`
  return sign + grouped + (fraction === undefined ? '' : `.${fraction}`) + power
}
