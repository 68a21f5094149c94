import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  dimension,
  divide,
  isNone,
  multiply,
  NONE,
  power,
  same,
  describe as words,
} from '../../grammar/units/dimension.ts'
import { nearest, ofDecimal, ofNumber } from '../../grammar/units/ratio.ts'
import { PREFIXES, UNITS } from '../../grammar/units/table.ts'
import { asWritten, decimalToSI, fromSI, isReading, parseUnit, toSI } from '../../grammar/units/unit.ts'
import { unit } from './unit-of.ts'

function mend(text: string): string | null {
  const parsed = parseUnit(text)
  return 'fault' in parsed ? parsed.fault.mend : 'no fault'
}

function fault(text: string): string {
  const parsed = parseUnit(text)
  return 'fault' in parsed ? parsed.fault.message : 'no fault'
}

test('units are printed in one form', () => {
  const forms: Readonly<Record<string, string>> = {
    'm/s²': 'm/s^2',
    'm·s⁻²': 'm/s^2',
    'm⋅s^-2': 'm/s^2',
    's^-1': '1/s',
    '1/s': '1/s',
    '1/(kg*s)': '1/(kg*s)',
    'N*s/kg': 'N*s/kg',
    'J/kg/K': 'J/(kg*K)',
    'J/(kg*K)': 'J/(kg*K)',
    'm/s*kg': 'm*kg/s',
    'm*m': 'm^2',
    'm/m': '',
    'km/m': 'km/m',
    'm^0.5': 'm^0.5',
    'm^(1/2)': 'm^0.5',
    'm^(1/3)': 'm^(1/3)',
    '(m/s)^2': 'm^2/s^2',
    '((kg))': 'kg',
    '°C': 'degC',
    '%': '%',
    '': '',
  }
  for (const [written, printed] of Object.entries(forms)) expect(unit(written).text, written).toBe(printed)
})

test('quotients go from the left', () => {
  expect(same(unit('J/kg/K').dimension, unit('J/(kg*K)').dimension)).toBe(true)
  expect(same(unit('m/s*kg').dimension, unit('m*kg/s').dimension)).toBe(true)
  expect(decimalToSI('1', unit('km/h*min'))).toBe(decimalToSI('1', unit('km*min/h')))
})

test('conversions of decimals are exact where the result is', () => {
  expect(decimalToSI('61', unit('%'))).toBe(0.61)
  expect(decimalToSI('0.5', unit('km'))).toBe(500)
  expect(decimalToSI('0.1', unit('km'))).toBe(100)
  expect(decimalToSI('17.5', unit('kN'))).toBe(17500)
  expect(decimalToSI('6', unit('g0'))).toBe(58.8399)
  expect(decimalToSI('1e3', unit('mm'))).toBe(1)
  expect(decimalToSI('-2.5e-1', unit('km'))).toBe(-250)
  expect(decimalToSI('90', unit('deg'))).toBe(Math.PI / 2)
  expect(decimalToSI('90000', unit('km/h'))).toBe(25000)
  for (let percent = 0; percent <= 100; percent++) {
    expect(Math.abs(fromSI(decimalToSI(String(percent), unit('%')), unit('%')) - percent)).toBeLessThan(
      percent * 2.3e-16 + 1e-300,
    )
  }
})

test('decimals of any length and size are taken, or told to be none', () => {
  expect(decimalToSI('1e400', unit('m'))).toBe(Number.POSITIVE_INFINITY)
  expect(decimalToSI('1e999999999', unit('km'))).toBe(Number.POSITIVE_INFINITY)
  expect(decimalToSI('-1e999999999', unit('km'))).toBe(Number.NEGATIVE_INFINITY)
  expect(decimalToSI('1e-999999999', unit('km'))).toBe(0)
  expect(decimalToSI(`0.${'3'.repeat(100_000)}`, unit('m'))).toBe(1 / 3)
  expect(decimalToSI(`${'9'.repeat(100_000)}e-100000`, unit('m'))).toBe(1)
  expect(decimalToSI('1e2000', unit('ym^30'))).toBe(Number.POSITIVE_INFINITY)
  expect(decimalToSI('twelve', unit('m'))).toBeNaN()
})

test('what is no unit is told, and the right one offered where it is clear', () => {
  const mends: Readonly<Record<string, string | null>> = {
    in: 'Write inch.',
    'lbf/in^2': 'Write lbf/inch^2.',
    lbs: 'Write lb.',
    kgs: 'Write kg.',
    kgg: 'Write kg.',
    kPaa: 'Write kPa.',
    sec: 'Write s.',
    secs: 'Write s.',
    'ft/sec': 'Write ft/s.',
    'km/hr': 'Write km/h.',
    kph: 'Write km/h.',
    Km: 'Write km.',
    kpa: 'Write kPa.',
    KN: 'Write kN (kilonewton) or kn (knot).',
    metres: 'Write m.',
    meters: 'Write m.',
    kilonewtons: 'Write kN.',
    millimetre: 'Write mm.',
    feet: 'Write ft.',
    newtns: 'Write N.',
    Nm: 'Write N*m.',
    m2: 'Write m^2.',
    'kg/m3': 'Write kg/m^3.',
    degrees: 'Write deg.',
    ton: 'Write t for 1,000 kg, shortton for 2,000 lb or longton for 2,240 lb.',
    xyz: null,
    zq: null,
    valueOf: null,
    constructor: null,
  }
  for (const [written, offered] of Object.entries(mends)) expect(mend(written), written).toBe(offered)
  expect(fault('lbs')).toBe('There is no unit lbs.')
  expect(fault('ft/sec')).toBe('There is no unit sec, as in ft/sec.')
})

test('a unit that is not well written is told where it goes wrong', () => {
  expect(fault('m/')).toBe('The unit m/ stops too early: a symbol must follow.')
  expect(mend('m/')).toBe('Write m, or the rest of the unit.')
  expect(fault('m^')).toBe('In the unit m^ a number must follow ^.')
  expect(fault('(m')).toBe('In the unit (m a parenthesis is not closed.')
  expect(fault('m)')).toBe('In the unit m), ) is not understood.')
  expect(fault('/m')).toBe('In the unit /m a symbol must stand before /m.')
  expect(fault('1')).toBe('In the unit 1 a symbol must stand before 1.')
  expect(fault('m^(1/0)')).toBe('In the unit m^(1/0) a power is divided by zero.')
  expect(fault('m^31')).toBe('The unit m^31 raises m to a power beyond 30, the largest there is.')
  expect(fault('m^20*m^20')).toContain('beyond 30')
  expect(fault('(m^20)^20')).toContain('beyond 30')
  expect(fault(`${'('.repeat(150)}m`)).toContain('100 parentheses')
  expect(fault('m*'.repeat(1_000_000))).toBe('A unit of 2000000 characters is too long.')
})

test('a temperature reading stands alone', () => {
  expect(fault('degC/s')).toBe('degC is a reading on a temperature scale, so it cannot be part of another unit.')
  expect(mend('J/(kg*degF)')).toBe('Write K for a difference of temperature.')
  expect(fault('degC^2')).toContain('reading')
  expect(unit('degR*s').text).toBe('degR*s')
})

test('dimensions are told in words, with an article and base units', () => {
  const told: Readonly<Record<string, string>> = {
    N: 'a force (kg*m/s^2)',
    'm/s^2': 'an acceleration (m/s^2)',
    '%': 'a plain number',
    deg: 'an angle (rad)',
    'kg/s': 'a mass flow (kg/s)',
    kPa: 'a pressure (kg/(m*s^2))',
    'kg^2/s': 'kg^2/s',
    'm^0.5': 'm^0.5',
    'lbf*s': 'an impulse (kg*m/s)',
  }
  for (const [written, description] of Object.entries(told))
    expect(words(unit(written).dimension), written).toBe(description)
})

test('dimensions are multiplied, divided, raised and compared', () => {
  const speed = dimension(1, 0, -1)
  expect(same(multiply(speed, dimension(0, 1)), dimension(1, 1, -1))).toBe(true)
  expect(isNone(divide(speed, speed))).toBe(true)
  expect(same(power(power(speed, 1 / 3), 3), speed)).toBe(true)
  expect(same(speed, NONE)).toBe(false)
  expect(divide(NONE, NONE).every(each => Object.is(each, 0))).toBe(true)
})

const anySymbol = fc.oneof(
  fc.constantFrom(...UNITS.filter(row => row.offset === undefined).flatMap(row => row.symbols)),
  fc
    .tuple(fc.constantFrom(...PREFIXES.map(each => each[0])), fc.constantFrom(...UNITS.filter(row => row.prefixes)))
    .map(([prefix, row]) => prefix + row.symbols[0]!),
)
const anyPower = fc.constantFrom('', '^2', '^3', '²', '^-1', '⁻²', '^0.5', '^(1/2)', '^(2/3)', '^1')
const anyUnit: fc.Arbitrary<string> = fc.letrec(tie => ({
  factor: fc.oneof(
    { depthSize: 'small' },
    fc.tuple(anySymbol, anyPower).map(([symbol, exponent]) => symbol + exponent),
    fc.tuple(tie('unit'), anyPower).map(([inside, exponent]) => `(${inside})${exponent}`),
  ),
  unit: fc
    .tuple(
      fc.constantFrom('', '1/'),
      tie('factor'),
      fc.array(fc.tuple(fc.constantFrom('*', '/', '·'), tie('factor')), { maxLength: 3 }),
    )
    .map(([lead, first, rest]) => `${lead}${first}${rest.map(([sign, factor]) => `${sign}${factor}`).join('')}`),
})).unit as fc.Arbitrary<string>

test('what is printed reads back as the same unit', () => {
  fc.assert(
    fc.property(anyUnit, text => {
      const read = parseUnit(text)
      if ('fault' in read) {
        expect(read.fault.message).toMatch(/power beyond|too long/)
        return
      }
      const again = unit(read.unit.text)
      expect(again.text).toBe(read.unit.text)
      expect(same(again.dimension, read.unit.dimension)).toBe(true)
      const [before, after] = [toSI(1, read.unit), toSI(1, again)]
      if (before !== 0 && Number.isFinite(before)) expect(after / before).toBeCloseTo(1, 12)
    }),
    { numRuns: 1000 },
  )
})

// Numbers so small that their SI value loses places are left out.
const anyValue = fc
  .double({ min: -1e9, max: 1e9, noNaN: true })
  .filter(value => value === 0 || Math.abs(value) > 1e-200)

test('a value goes to SI and back unchanged to the last place or two', () => {
  fc.assert(
    fc.property(anySymbol, anyValue, (symbol, value) => {
      const back = fromSI(toSI(value, unit(symbol)), unit(symbol))
      expect(Math.abs(back - value)).toBeLessThanOrEqual(Math.abs(value) * 2.3e-16)
    }),
    { numRuns: 3000 },
  )
})

test('a decimal and the double nearest to it become the same SI value to the last place', () => {
  fc.assert(
    fc.property(anySymbol, anyValue, (symbol, value) => {
      const [decimal, double] = [decimalToSI(String(value), unit(symbol)), toSI(value, unit(symbol))]
      expect(Math.abs(decimal - double)).toBeLessThanOrEqual(Math.abs(double) * 3.4e-16)
    }),
    { numRuns: 3000 },
  )
})

test('the nearest double to a decimal is the one that JavaScript reads', () => {
  const anyDecimal = fc
    .tuple(
      fc.constantFrom('', '-'),
      fc.stringMatching(/^\d{1,30}$/),
      fc.stringMatching(/^\d{1,30}$/),
      fc.integer({ min: -345, max: 310 }),
    )
    .map(([sign, whole, fraction, tens]) => `${sign}${whole}.${fraction}e${tens}`)
  fc.assert(
    fc.property(anyDecimal, text => {
      const { over, under } = ofDecimal(text)
      expect(nearest(over, under)).toBe(Number(text) + 0)
    }),
    { numRuns: 5000 },
  )
})

test('a double is exact as a ratio and comes back', () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), value => {
      const { over, under } = ofNumber(value)
      expect(nearest(over, under)).toBe(value + 0)
    }),
    { numRuns: 3000 },
  )
})

test('no text crashes the reading of a unit', () => {
  const pieces = fc.array(
    fc.constantFrom(
      'm',
      'kg',
      's',
      '*',
      '/',
      '^',
      '(',
      ')',
      '1',
      '0',
      '.',
      '-',
      '²',
      '⁻',
      'degC',
      '%',
      '°',
      ' ',
      'é',
      '\u{1F680}',
    ),
    { maxLength: 12 },
  )
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string(),
        pieces.map(each => each.join('')),
      ),
      text => {
        const read = parseUnit(text)
        if ('fault' in read) expect(read.fault.message).toMatch(/\.$/)
        else expect(read.unit.divide > 0n).toBe(true)
      },
    ),
    { numRuns: 5000 },
  )
})

test('a decimal that went to SI is told as it was written', () => {
  const digits = fc.tuple(fc.bigInt({ min: -999_999_999_999n, max: 999_999_999_999n }), fc.integer({ min: 0, max: 8 }))
  fc.assert(
    fc.property(anySymbol, digits, (symbol, [whole, places]) => {
      const text = `${whole}e-${places}`
      const [si, of] = [decimalToSI(text, unit(symbol)), unit(symbol)]
      // A small reading loses its last digits in the zero of its scale; the decimals that are told come to the same SI value.
      if (isReading(of)) expect(decimalToSI(String(asWritten(si, of)), of)).toBe(si)
      else expect(asWritten(si, of)).toBe(Number(text))
    }),
    { numRuns: 3000 },
  )
  expect(asWritten(decimalToSI('20', unit('degC')), unit('degC'))).toBe(20)
  expect(asWritten(decimalToSI('-40', unit('degF')), unit('degF'))).toBe(-40)
  // Nothing is left of the digits of a reading but what its zero, 273.15 K, leaves of them.
  for (const symbol of ['degC', 'degF'])
    for (const text of ['0', '0.1', '-0.000002'])
      expect(asWritten(decimalToSI(text, unit(symbol)), unit(symbol)), `${text} ${symbol}`).toBe(Number(text))
  for (const symbol of ['degC', 'degF']) expect(fromSI(decimalToSI('0', unit(symbol)), unit(symbol))).toBe(0)
  expect(asWritten(decimalToSI('7', unit('%')), unit('%'))).toBe(7)
})
