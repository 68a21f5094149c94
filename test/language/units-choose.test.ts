import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  displayUnit,
  exactText,
  FAMILIES,
  formatNumber,
  formatQuantity,
  smallerUnit,
} from '../../grammar/units/choose.ts'
import { dimension, same } from '../../grammar/units/dimension.ts'
import { unit } from './unit-of.ts'

test('a quantity is shown in a unit in which its number reads well', () => {
  const shown = (si: number, of: string) => formatQuantity(si, displayUnit(unit(of).dimension, si), 3)
  expect(shown(100_092.1, 'm')).toBe('100 km')
  expect(shown(920, 'm')).toBe('920 m')
  expect(shown(0.054, 'm')).toBe('5.4 cm')
  expect(shown(59_283.3, 'Pa')).toBe('59.3 kPa')
  expect(shown(15_400, 'N')).toBe('15.4 kN')
  expect(shown(1206.2, 'm/s')).toBe('1,206 m/s')
  expect(shown(276, 'kg')).toBe('276 kg')
  expect(shown(0.0123, 'kg')).toBe('12.3 g')
  expect(shown(184.2, 's')).toBe('184 s')
  expect(shown(2.172, '%')).toBe('2.17')
  expect(shown(Math.PI / 4, 'rad')).toBe('45 deg')
  expect(shown(0, 'm')).toBe('0 m')
  expect(shown(-1500, 'm')).toBe('−1.5 km')
  expect(shown(3, 'kg^2/s')).toBe('3 kg^2/s')
})

test('every unit of a family has the dimension the family is found by', () => {
  for (const [of, text] of FAMILIES) {
    for (const member of text.split(', ')) expect(same(unit(member.split(' ')[0]!).dimension, of), member).toBe(true)
  }
})

test('a preferred unit is taken where it fits, and never where it does not', () => {
  const length = dimension(1)
  expect(displayUnit(length, 5, unit('ft')).text).toBe('ft')
  expect(displayUnit(length, 5, unit('kg')).text).toBe('m')
  expect(formatQuantity(58.716, displayUnit(dimension(1, 0, -2), 58.716, unit('g0')), 4)).toBe('5.987 g0')
})

test('numbers have as many figures as asked for, and never fewer than their whole part', () => {
  expect(formatNumber(2.172157, 3)).toBe('2.17')
  expect(formatNumber(2, 3)).toBe('2')
  expect(formatNumber(9.996, 3)).toBe('10.0')
  expect(formatNumber(1206.2, 3)).toBe('1,206')
  expect(formatNumber(8.8, 3)).toBe('8.8')
  expect(formatNumber(8.8003, 3)).toBe('8.80')
  expect(formatNumber(-0.5, 3)).toBe('−0.5')
  expect(formatNumber(-0, 3)).toBe('0')
  expect(formatNumber(-0.0004, 3, { decimals: 2 })).toBe('0.00')
  expect(formatNumber(0.00001234, 3)).toBe('1.23e−5')
  expect(formatNumber(6.02e23, 3)).toBe('6.02e23')
  expect(formatNumber(123_456_789, 3)).toBe('123,456,789')
})

test('a setting keeps every digit it was written with', () => {
  expect(exactText('61')).toBe('61')
  expect(exactText('-1234.50')).toBe('−1,234.50')
  expect(exactText('1e-7')).toBe('1e−7')
})

test('number and unit are joined by the blank of the place', () => {
  expect(formatQuantity(0.61, unit('%'), 3)).toBe('61 %')
  expect(formatQuantity(0.61, unit('%'), 3, { blank: '\u00a0' })).toBe('61\u00a0%')
})

test('what is no number is told in words', () => {
  expect(formatQuantity(Number.NaN, unit('km'), 3)).toBe('no value')
  expect(formatQuantity(Number.POSITIVE_INFINITY, unit('km'), 3)).toBe('infinite')
  expect(formatQuantity(Number.NEGATIVE_INFINITY, unit('km'), 3)).toBe('−infinite')
})

test('small rooms have a smaller unit of the same family', () => {
  expect(smallerUnit(unit('km'))?.text).toBe('m')
  expect(smallerUnit(unit('kPa'))?.text).toBe('Pa')
  expect(smallerUnit(unit('g0'))).toBeNull()
  expect(smallerUnit(unit('%'))).toBeNull()
})

test('any number that is shown reads back to within its figures', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -1e300, max: 1e300, noNaN: true }),
      fc.integer({ min: 1, max: 12 }),
      (value, digits) => {
        const text = formatNumber(value, digits)
        expect(text).not.toMatch(/NaN|Infinity/)
        const back = Number(text.replaceAll(',', '').replaceAll('−', '-'))
        expect(Math.abs(back - value)).toBeLessThanOrEqual(Math.abs(value) * 0.51 * 10 ** (1 - digits))
      },
    ),
    { numRuns: 3000 },
  )
})
