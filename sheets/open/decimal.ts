/** An exact decimal: digits × 10^−places. Lever settings are counted in these, so that 61 % is 61 and not 60.99999999999999. */
export interface Decimal {
  readonly digits: bigint
  readonly places: number
}

/** Reads "12.50", ".5", "-3", "1e-3". Null where the text is no finite decimal, or one too long to count with. */
export function decimalFrom(text: string): Decimal | null {
  const match = /^([+-]?)(\d*)\.?(\d*)(?:[eE]([+-]?\d{1,4}))?$/.exec(text)
  if (!match || (match[2] === '' && match[3] === '')) return null
  const fraction = match[3] ?? ''
  const exponent = Number(match[4] ?? 0)
  const places = fraction.length - exponent
  if (Math.abs(places) > 400) return null
  const digits = BigInt(`${match[2]}${fraction}`) * (match[1] === '-' ? -1n : 1n)
  return places >= 0 ? { digits, places } : { digits: digits * 10n ** BigInt(-places), places: 0 }
}

/** The decimal that prints as this double does, at most `figures` significant digits (1 to 17). */
export function decimalNear(value: number, figures = 15): Decimal {
  const decimal = decimalFrom(String(Number(value.toPrecision(figures))))
  if (!decimal) throw new Error(`no decimal near ${value}`)
  return decimal
}

/** a + k·b, exactly. */
export function stepFrom(a: Decimal, k: number, b: Decimal): Decimal {
  const places = Math.max(a.places, b.places)
  return { digits: withPlaces(a, places) + BigInt(k) * withPlaces(b, places), places }
}

/** How many steps of b fit from a to c, the ends counted in; 0 where b is not above zero or c lies below a. */
export function stepsBetween(a: Decimal, c: Decimal, b: Decimal): bigint {
  const places = Math.max(a.places, b.places, c.places)
  const step = withPlaces(b, places)
  const span = withPlaces(c, places) - withPlaces(a, places)
  return step <= 0n || span < 0n ? 0n : span / step + 1n
}

/** The digits of a decimal written with so many places, at least its own. */
export function withPlaces(a: Decimal, places: number): bigint {
  return a.digits * 10n ** BigInt(places - a.places)
}

/** Plain digits without trailing zeros: "61", "0.05", "-12.5". */
export function decimalText({ digits, places }: Decimal): string {
  const sign = digits < 0n ? '-' : ''
  const body = (digits < 0n ? -digits : digits).toString().padStart(places + 1, '0')
  if (places === 0) return sign + body
  const fraction = body.slice(-places).replace(/0+$/, '')
  return sign + body.slice(0, -places) + (fraction === '' ? '' : `.${fraction}`)
}
