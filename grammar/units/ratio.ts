/**
 * Exact ratios of whole numbers, for unit factors and decimals: 61 % is 61/100, a knot 1852/3600. A conversion is
 * worked out in these and rounded once, so it gives the double nearest to the true value.
 */
export interface Ratio {
  readonly over: bigint
  /** Always positive; no common divisor with `over`. */
  readonly under: bigint
}

export const ONE: Ratio = { over: 1n, under: 1n }

/** π to 50 places (OEIS A000796, from memory; the tests work it out again by Machin's formula). */
const PI = ratio(314159265358979323846264338327950288419716939937511n, 10n ** 50n)

export function ratio(over: bigint, under: bigint): Ratio {
  const divisor = greatestDivisor(over < 0n ? -over : over, under < 0n ? -under : under) || 1n
  const sign = under < 0n ? -divisor : divisor
  return { over: over / sign, under: under / sign }
}

function greatestDivisor(a: bigint, b: bigint): bigint {
  let [x, y] = [a, b]
  while (y !== 0n) [x, y] = [y, x % y]
  return x
}

export function times(a: Ratio, b: Ratio): Ratio {
  return ratio(a.over * b.over, a.under * b.under)
}

/** A whole power; a negative one turns the ratio over. */
export function wholePower(a: Ratio, exponent: number): Ratio {
  const size = BigInt(Math.abs(exponent))
  return exponent < 0 ? ratio(a.under ** size, a.over ** size) : ratio(a.over ** size, a.under ** size)
}

/** A fractional power: by square and cube roots as exact as a double is, by others to a unit or two of its last place. */
export function fractionPower(a: Ratio, over: number, under: number): Ratio {
  if (under === 1 || (a.over === 1n && a.under === 1n)) return wholePower(a, over)
  const base = nearest(a.over, a.under)
  return wholePower(ofNumber(under === 2 ? Math.sqrt(base) : under === 3 ? Math.cbrt(base) : base ** (1 / under)), over)
}

/** The exact value of a factor as the unit table writes it: decimals and `pi`, `*` and `/` between them, from the left. */
export function ofFactorText(text: string): Ratio {
  return text.split(/(?=[*/])/).reduce((product, part) => {
    const word = part.replace(/^[*/]/, '')
    const value = word === 'pi' ? PI : ofDecimal(word)
    return part.startsWith('/') ? times(product, ratio(value.under, value.over)) : times(product, value)
  }, ONE)
}

/** More digits than this cannot move a double; the rest is kept as "a little more". */
const MOST_DIGITS = 800
/** Powers of ten beyond this are 0 or infinite as doubles whatever unit follows, but still cheap to hold. */
const MOST_TENS = 2000

/** The exact value of a decimal text: "0.5", "-12", "1e3", "6.02E-23". The text must be one: `isDecimal` asks. */
export function ofDecimal(text: string): Ratio {
  const parts = DECIMAL.exec(text)
  if (!parts) throw new Error(`not a decimal: ${text.slice(0, 40)}`)
  const fraction = parts[3] ?? parts[4] ?? ''
  const digits = ((parts[2] ?? '') + fraction).replace(/^0+/, '')
  if (digits === '') return { over: 0n, under: 1n }
  const cut = digits.length > MOST_DIGITS
  const kept = cut ? `${digits.slice(0, MOST_DIGITS)}${/[1-9]/.test(digits.slice(MOST_DIGITS)) ? '1' : '0'}` : digits
  const dropped = digits.length - kept.length
  const tens = Math.max(
    -MOST_TENS - kept.length,
    Math.min(MOST_TENS, Number(parts[5] ?? 0) - fraction.length + dropped),
  )
  const whole = BigInt(kept) * (parts[1] === '-' ? -1n : 1n)
  return tens >= 0 ? ratio(whole * 10n ** BigInt(tens), 1n) : ratio(whole, 10n ** BigInt(-tens))
}

const DECIMAL = /^([+-]?)(?:(\d+)(?:\.(\d*))?|\.(\d+))(?:[eE]([+-]?\d+))?$/

export function isDecimal(text: string): boolean {
  return DECIMAL.test(text)
}

/** The exact value of a finite double. */
export function ofNumber(value: number): Ratio {
  if (!Number.isFinite(value)) throw new Error('not a finite number')
  if (Number.isInteger(value)) return { over: BigInt(value), under: 1n }
  let tens = 0
  let whole = value
  // Doubling is exact; a double needs at most 1074 of them to become whole.
  while (!Number.isInteger(whole)) {
    whole *= 2
    tens++
  }
  return ratio(BigInt(whole), 1n << BigInt(tens))
}

/** The double nearest to over/under (ties to even), `under` positive; infinite where it is too large for one. */
export function nearest(over: bigint, under: bigint): number {
  if (over === 0n) return 0
  const size = over < 0n ? -over : over
  const sign = over < 0n ? -1 : 1
  // A quotient of at least 60 binary places, its last one set where anything was left, rounds as the whole would.
  const shift = bits(under) - bits(size) + 66
  if (shift > SMALLEST_POWER) {
    const [quotient, left] = shiftedQuotient(size, under, SMALLEST_POWER)
    if (quotient < 1n << 53n) return sign * tiny(quotient, left, under) + 0
  }
  const [quotient, left] = shiftedQuotient(size, under, shift)
  return sign * scaled(Number(left === 0n ? quotient : quotient | 1n), -shift)
}

/** The smallest double is 2^-1074: below 2^-1022 there are fewer places to round to. */
const SMALLEST_POWER = 1074

/** size·2^shift / under and what is left over. */
function shiftedQuotient(size: bigint, under: bigint, shift: number): readonly [bigint, bigint] {
  const top = shift >= 0 ? size << BigInt(shift) : size
  const bottom = shift >= 0 ? under : under << BigInt(-shift)
  return [top / bottom, top % bottom]
}

/** Whole multiples of the smallest double, rounded half to even. */
function tiny(quotient: bigint, left: bigint, under: bigint): number {
  const twice = left * 2n
  const up = twice > under || (twice === under && (quotient & 1n) === 1n)
  return Number(up ? quotient + 1n : quotient) * 2 ** -SMALLEST_POWER
}

/** value·2^exponent for a value of about 2^66, in two steps where one power alone would leave the doubles. */
function scaled(value: number, exponent: number): number {
  if (exponent > 1000) return Number.POSITIVE_INFINITY
  return exponent < -1000 ? value * 2 ** -100 * 2 ** (exponent + 100) : value * 2 ** exponent
}

/** The binary places of a positive whole number, up to three too many. */
function bits(value: bigint): number {
  return value.toString(16).length * 4
}
