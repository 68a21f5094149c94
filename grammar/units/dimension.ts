/**
 * Powers of [length, mass, time, temperature, angle, current, amount, luminous intensity]. Angle is a dimension of its
 * own, so that degrees are never taken for a plain number. Powers may be fractions (`m^0.5`).
 */
export type Dimension = readonly number[]

/** The coherent SI unit of each place of a Dimension. */
export const BASE_SYMBOLS = ['m', 'kg', 's', 'K', 'rad', 'A', 'mol', 'cd'] as const

/** A plain number. */
export const NONE: Dimension = [0, 0, 0, 0, 0, 0, 0, 0]

/** Powers that differ by less are the same: the powers a third and 0.333333333333 written out are not told apart. */
const SAME_POWER = 1e-9

/** A dimension from the powers that are not zero, in the order of `Dimension`. */
export function dimension(...powers: number[]): Dimension {
  return NONE.map((_, place) => powers[place] ?? 0)
}

/** The dimension of a product. */
export function multiply(a: Dimension, b: Dimension): Dimension {
  if (b === NONE) return a
  if (a === NONE) return b
  return a.map((power, place) => tidyPower(power + b[place]!))
}

/** The dimension of a quotient. */
export function divide(a: Dimension, b: Dimension): Dimension {
  if (b === NONE) return a
  return a.map((power, place) => tidyPower(power - b[place]!))
}

/** The dimension of a power. */
export function power(a: Dimension, exponent: number): Dimension {
  return a.map(each => tidyPower(each * exponent))
}

export function same(a: Dimension, b: Dimension): boolean {
  return a === b || a.every((each, place) => Math.abs(each - b[place]!) < SAME_POWER)
}

export function isNone(a: Dimension): boolean {
  return same(a, NONE)
}

/** A whole power reached through fractions is whole again: three times a third is one; and −0 is 0. */
function tidyPower(value: number): number {
  const whole = Math.round(value)
  return Math.abs(value - whole) < SAME_POWER ? whole + 0 : value
}

/** What a dimension is called, with its article. The unit form is made from the powers. */
const NAMES: readonly (readonly [string, Dimension])[] = [
  ['a length', dimension(1)],
  ['an area', dimension(2)],
  ['a volume', dimension(3)],
  ['a mass', dimension(0, 1)],
  ['a time', dimension(0, 0, 1)],
  ['a temperature', dimension(0, 0, 0, 1)],
  ['an angle', dimension(0, 0, 0, 0, 1)],
  ['a current', dimension(0, 0, 0, 0, 0, 1)],
  ['an amount of substance', dimension(0, 0, 0, 0, 0, 0, 1)],
  ['a luminous intensity', dimension(0, 0, 0, 0, 0, 0, 0, 1)],
  ['a speed', dimension(1, 0, -1)],
  ['an acceleration', dimension(1, 0, -2)],
  ['a force', dimension(1, 1, -2)],
  ['an impulse', dimension(1, 1, -1)],
  ['a pressure', dimension(-1, 1, -2)],
  ['an energy', dimension(2, 1, -2)],
  ['a power', dimension(2, 1, -3)],
  ['a mass flow', dimension(0, 1, -1)],
  ['a volume flow', dimension(3, 0, -1)],
  ['a density', dimension(-3, 1)],
  ['a mass per area', dimension(-2, 1)],
  ['a mass per length', dimension(-1, 1)],
  ['a moment of inertia', dimension(2, 1)],
  ['a rate', dimension(0, 0, -1)],
  ['an angular speed', dimension(0, 0, -1, 0, 1)],
  ['an angular acceleration', dimension(0, 0, -2, 0, 1)],
  ['a heat flux', dimension(0, 1, -3)],
  ['a heat load', dimension(0, 1, -2)],
  ['an energy per mass', dimension(2, 0, -2)],
  ['a heat capacity', dimension(2, 1, -2, -1)],
  ['a specific heat', dimension(2, 0, -2, -1)],
  ['a temperature per length', dimension(-1, 0, 0, 1)],
  ['a viscosity', dimension(-1, 1, -1)],
  ['a kinematic viscosity', dimension(2, 0, -1)],
  ['a molar mass', dimension(0, 1, 0, 0, 0, 0, -1)],
  ['an electric charge', dimension(0, 0, 1, 0, 0, 1)],
  ['a voltage', dimension(2, 1, -3, 0, 0, -1)],
  ['an electric resistance', dimension(2, 1, -3, 0, 0, -2)],
]

/**
 * A dimension in words for a message, with its article and its base units: "a force (kg*m/s^2)", "a plain number",
 * "an angle (rad)"; one that has no name of its own is its base units alone: "kg^2/s".
 */
export function describe(a: Dimension): string {
  if (isNone(a)) return 'a plain number'
  const named = NAMES.find(([, known]) => same(known, a))
  return named ? `${named[0]} (${baseForm(a)})` : baseForm(a)
}

/** The base units of a dimension as a unit is written: `kg*m/s^2`, `1/s`, empty for a plain number. */
export function baseForm(a: Dimension): string {
  // Mass before length, as in "kg*m/s^2".
  const order = [1, 0, 2, 3, 4, 5, 6, 7]
  return productText(order.map(place => [BASE_SYMBOLS[place]!, a[place]!] as const))
}

/** A product of powers as a unit is written: those above in order, then those below, in parentheses where several. */
export function productText(factors: readonly (readonly [string, number])[]): string {
  const present = factors.filter(([, exponent]) => Math.abs(exponent) >= SAME_POWER)
  const above = present.filter(([, exponent]) => exponent > 0).map(([symbol, exponent]) => symbol + powerText(exponent))
  const below = present
    .filter(([, exponent]) => exponent < 0)
    .map(([symbol, exponent]) => symbol + powerText(-exponent))
  if (below.length === 0) return above.join('*')
  const under = below.length === 1 ? below[0]! : `(${below.join('*')})`
  return `${above.length === 0 ? '1' : above.join('*')}/${under}`
}

/** `^2`, `^0.5`, `^(1/3)`, or nothing for the first power. */
function powerText(exponent: number): string {
  const [over, under] = asFraction(exponent)
  if (under === 1) return over === 1 ? '' : `^${over}`
  const decimal = String(over / under)
  return decimal.length <= 6 ? `^${decimal}` : `^(${over}/${under})`
}

/** The fraction of smallest denominator within 1e-10 of a power; the power in thousand-millionths when there is none up to 1000. */
export function asFraction(value: number): readonly [number, number] {
  for (let under = 1; under <= 1000; under++) {
    const over = Math.round(value * under)
    if (Math.abs(value - over / under) < 1e-10) return [over, under]
  }
  return [Math.round(value * 1e9), 1e9]
}
