import { expect, test } from 'vitest'
import {
  fractionPower,
  isDecimal,
  nearest,
  ofDecimal,
  ofFactorText,
  ofNumber,
  ratio,
  times,
  wholePower,
} from '../../grammar/units/ratio.ts'

/** The double that a decimal text is, by way of its exact value. */
const double = (text: string): number => {
  const { over, under } = ofDecimal(text)
  return nearest(over, under)
}

test('a ratio is kept in lowest terms, its sign above', () => {
  expect(ratio(2n, 4n)).toEqual({ over: 1n, under: 2n })
  expect(ratio(-6n, 4n)).toEqual({ over: -3n, under: 2n })
  expect(ratio(6n, -4n)).toEqual({ over: -3n, under: 2n })
  expect(ratio(-6n, -4n)).toEqual({ over: 3n, under: 2n })
  expect(ratio(0n, 7n)).toEqual({ over: 0n, under: 1n })
  expect(times(ratio(2n, 3n), ratio(9n, 4n))).toEqual({ over: 3n, under: 2n })
})

test('powers are exact where they can be, else the nearest doubles’', () => {
  expect(wholePower(ratio(2n, 3n), 3)).toEqual({ over: 8n, under: 27n })
  expect(wholePower(ratio(2n, 3n), -3)).toEqual({ over: 27n, under: 8n })
  expect(wholePower(ratio(2n, 3n), 0)).toEqual({ over: 1n, under: 1n })
  expect(fractionPower(ratio(1n, 1n), 1, 7)).toEqual({ over: 1n, under: 1n })
  const value = (of: { over: bigint; under: bigint }): number => nearest(of.over, of.under)
  expect(value(fractionPower(ratio(2n, 1n), 1, 2))).toBe(Math.sqrt(2))
  expect(value(fractionPower(ratio(1n, 2n), 1, 2))).toBe(Math.sqrt(0.5))
  expect(value(fractionPower(ratio(10n, 1n), 1, 3))).toBe(Math.cbrt(10))
  expect(value(fractionPower(ratio(10n, 1n), 1, 5))).toBe(10 ** (1 / 5))
  expect(value(fractionPower(ratio(4n, 1n), 3, 2))).toBe(8)
})

// Source for the doubles of decimals: JavaScript's own reading, which the language standard fixes to be the nearest, ties to even.
test.each([
  '0',
  '-0.000',
  '.5',
  '007.250',
  '+12',
  '-12e2',
  '6.02E-23',
  '9007199254740993',
  '9007199254740991.5',
  '9007199254740992.999999999999999999999999999',
  '1.7976931348623157e308',
  '2.2250738585072014e-308',
  '2.2250738585072011e-308',
  '4.4501477170144028e-308',
  '4.4501477170144030e-308',
  '-1.7e-307',
  '9.99e-301',
  '1.234e290',
  '4.9e-324',
  '2.4703282292062327e-324',
  '2.4703282292062328e-324',
  '7.4109846876186981e-324',
  '7.4109846876186982e-324',
  '1.2345678901234567e-310',
  '-3.1e-315',
  '1e-400',
  '-1e-5000',
])('%s is read as JavaScript reads it', text => expect(double(text)).toBe(Number(text) + 0))

test('what is too large for a double is infinite', () => {
  for (const text of ['1.7976931348623159e308', '1e309', '1e400', '1e99999'])
    expect(double(text)).toBe(Number.POSITIVE_INFINITY)
  expect(double('-1e400')).toBe(Number.NEGATIVE_INFINITY)
})

test('of very many digits those beyond the 800th count only as a little more', () => {
  // A tie at 2^53 + 1, tipped by a digit far behind; zeros there tip nothing.
  const tie = `9007199254740993.${'0'.repeat(1000)}`
  expect(double(tie)).toBe(9007199254740992)
  expect(double(`${tie}1`)).toBe(9007199254740994)
  const long = '1234567890'.repeat(90)
  expect(double(`${long}e-880`)).toBe(Number(`${long}e-880`))
  expect(double(`0.${'0'.repeat(900)}25e901`)).toBe(2.5)
  const { over, under } = ofDecimal('7'.repeat(801))
  expect(under).toBe(1n)
  expect(over).toBe(BigInt(`${'7'.repeat(800)}1`))
})

test('what is no decimal is our own mistake, shown shortened', () => {
  for (const text of ['', '.', '1e', 'one', '1 2', '0x10', '--1']) expect(isDecimal(text)).toBe(false)
  for (const text of ['1.', '.5', '1e3', '+1E-3']) expect(isDecimal(text)).toBe(true)
  expect(() => ofDecimal('x'.repeat(100))).toThrow(`not a decimal: ${'x'.repeat(40)}`)
  expect(() => ofDecimal('x'.repeat(100))).not.toThrow('x'.repeat(41))
  for (const value of [Number.NaN, Number.POSITIVE_INFINITY])
    expect(() => ofNumber(value)).toThrow('not a finite number')
})

test('a double’s exact value comes back as itself', () => {
  for (const value of [0, 1, -3, 0.1, -2.5, 2 ** -1074, 3 * 2 ** -1074, 2 ** -1022, 1e300, Number.MAX_VALUE, Math.PI]) {
    const { over, under } = ofNumber(value)
    expect(nearest(over, under)).toBe(value)
  }
  expect(ofNumber(0.375)).toEqual({ over: 3n, under: 8n })
  expect(ofNumber(-4)).toEqual({ over: -4n, under: 1n })
})

test('ties go to the even double, among the smallest as well', () => {
  expect(nearest((1n << 53n) + 1n, 1n)).toBe(2 ** 53)
  expect(nearest((1n << 53n) + 3n, 1n)).toBe(2 ** 53 + 4)
  const half = 1n << 1075n
  expect(nearest(1n, half)).toBe(0)
  expect(nearest(3n, half)).toBe(2 * 2 ** -1074)
  expect(nearest(5n, half)).toBe(2 * 2 ** -1074)
  expect(nearest(-3n, half)).toBe(-2 * 2 ** -1074)
  expect(Object.is(nearest(0n, 5n), 0)).toBe(true)
})

test('the factor of a unit is a product of decimals, divisions and pi', () => {
  expect(ofFactorText('0.3048')).toEqual({ over: 381n, under: 1250n })
  const { over, under } = ofFactorText('pi/180')
  expect(nearest(over, under)).toBe(Math.PI / 180)
})
