import Qty from 'js-quantities'
import { evaluate, type Unit as MathUnit } from 'mathjs'
import { expect, test } from 'vitest'
import { same } from '../../grammar/units/dimension.ts'
import { nearest, ofFactorText } from '../../grammar/units/ratio.ts'
import { PREFIXES, UNITS } from '../../grammar/units/table.ts'
import { decimalToSI, toSI } from '../../grammar/units/unit.ts'
import { rows, siUnit, WRITTEN } from './factors.ts'
import { unit } from './unit-of.ts'

test('every factor of SP 811 is met, and in its own dimension', () => {
  const factors = rows.filter(row => !row.name.includes('(reading)'))
  expect(factors.length).toBe(70)
  for (const row of factors) {
    const written = unit(WRITTEN[row.name] ?? `no unit for ${row.name}`)
    expect(same(written.dimension, unit(siUnit(row.si)).dimension), row.name).toBe(true)
    const size = decimalToSI('1', written)
    const inSI = decimalToSI(row.factor, unit(siUnit(row.si)))
    // The file's factors are doubles worked out in a few steps: two units of the last of 17 digits.
    expect(Math.abs(size / inSI - 1), `${row.name} ${size} ${inSI}`).toBeLessThan(4e-16)
    const exact = /^exact ([\d.e-]+)$/.exec(row.exactness)?.[1]
    if (exact !== undefined || (row.exactness === 'exact' && row.factor.length < 16)) {
      expect(size, row.name).toBe(Number(exact ?? row.factor))
    }
  }
})

test('the seven-figure factors printed in SP 811 are those of the table, rounded', () => {
  const printed = rows.map(
    row => [row.name, /(\d\.\d{5,})(?:e(\d))?/.exec(row.exactness.replace(/^exact.*/, ''))] as const,
  )
  const shown = printed.filter(([, found]) => found !== null)
  expect(shown.length).toBeGreaterThan(15)
  for (const [name, found] of shown) {
    const size = decimalToSI('1', unit(WRITTEN[name]!))
    const digits = found![1]!.length - 1
    expect(Number(size.toPrecision(digits)), name).toBe(Number(`${found![1]}e${found![2] ?? 0}`))
  }
})

test('readings on the Celsius and Fahrenheit scales are taken from absolute zero', () => {
  // SP 811, B.8: T/K = t/degC + 273.15, T/K = (t/degF + 459.67)/1.8.
  expect(decimalToSI('0', unit('degC'))).toBe(273.15)
  expect(decimalToSI('-273.15', unit('degC'))).toBe(0)
  expect(decimalToSI('15', unit('degC'))).toBe(288.15)
  expect(decimalToSI('59', unit('degF'))).toBe(288.15)
  expect(decimalToSI('-459.67', unit('degF'))).toBe(0)
  expect(decimalToSI('-40', unit('degF'))).toBe(decimalToSI('-40', unit('degC')))
  expect(toSI(212, unit('degF'))).toBe(373.15)
})

test('no symbol with a prefix is also another symbol', () => {
  const meanings = new Map<string, string>()
  for (const row of UNITS) {
    for (const symbol of row.symbols) {
      for (const prefix of ['', ...(row.prefixes ? PREFIXES.map(each => each[0]) : [])]) {
        const whole = prefix + symbol
        expect(meanings.get(whole), `${whole} is ${prefix}+${symbol} and ${meanings.get(whole)}`).toBeUndefined()
        meanings.set(whole, `${prefix}+${symbol}`)
      }
    }
  }
  expect(meanings.size).toBeGreaterThan(500)
  for (const connective of 'from to in at of over within equal if then else and or not'.split(' ')) {
    expect(meanings.has(connective), connective).toBe(false)
  }
})

test('symbols that are easily mistaken mean what the trade means', () => {
  const sizes: Readonly<Record<string, readonly [string, string]>> = {
    min: ['60', 's'],
    Pa: ['1', 'N/m^2'],
    cd: ['1', 'cd'],
    kn: ['1852', 'm/h'],
    kN: ['1000', 'N'],
    nmi: ['1.852', 'km'],
    mi: ['1609.344', 'm'],
    ft: ['0.3048', 'm'],
    g: ['0.001', 'kg'],
    mg: ['0.000001', 'kg'],
    Mg: ['1000', 'kg'],
    mN: ['0.001', 'N'],
    MN: ['1000000', 'N'],
    h: ['3600', 's'],
    ha: ['10000', 'm^2'],
    um: ['0.000001', 'm'],
    µm: ['0.000001', 'm'],
    μm: ['0.000001', 'm'],
    dm: ['0.1', 'm'],
    dam: ['10', 'm'],
  }
  for (const [symbol, [size, of]] of Object.entries(sizes)) {
    expect(same(unit(symbol).dimension, unit(of).dimension), symbol).toBe(true)
    expect(decimalToSI('1', unit(symbol)), symbol).toBe(decimalToSI(size, unit(of)))
  }
  for (const none of ['in', 'mt', 'kt', 'kft', 'mmi', 'kg0', 'mmin', 'klbf', 'kdeg', 'mh', 'k', 'M', 'H', 'a']) {
    expect(unitOrNull(none), none).toBeNull()
  }
})

function unitOrNull(text: string) {
  try {
    return unit(text)
  } catch {
    return null
  }
}

// js-quantities 1.8.0 rounds lbf, psi, slug, oz and the knot, takes degC as a difference and g0 as a plain number; kgf, psf and ksi
// are missing. mathjs 15.2.0 rounds mmHg, torr, acre and psi, and has no nmi, mph, rpm, inHg, slug or g0.
const ORACLES: readonly (readonly [string, string | null, string | null])[] = [
  ['kN*s', 'kN*s', 'kN s'],
  ['m/s^2', 'm/s^2', 'm/s^2'],
  ['kPa', 'kPa', 'kPa'],
  ['lb', 'lb', 'lbm'],
  ['oz', null, 'oz'],
  ['lbf', null, 'lbf'],
  ['ft', 'ft', 'ft'],
  ['inch', 'in', 'inch'],
  ['yd', 'yd', 'yd'],
  ['mi', 'mi', 'mi'],
  ['nmi', 'nmi', null],

  ['mph', 'mph', null],
  ['atm', 'atm', 'atm'],
  ['bar', 'bar', 'bar'],
  ['deg', 'deg', 'deg'],
  ['rpm', 'rpm', null],
  ['L', 'l', 'l'],
  ['t', 'tonne', 'tonne'],
  ['h', 'h', 'h'],
  ['d', 'd', 'day'],
  ['%', '%', null],
  ['J/(kg*K)', null, 'J/(kg K)'],
  ['g/cm^3', 'g/cm^3', 'g/cm^3'],
  ['mN*m', 'mN*m', 'mN m'],
  ['MW', 'MW', 'MW'],
  ['µs', 'us', 'us'],
  ['GHz', 'GHz', 'GHz'],
]

test('js-quantities and mathjs, where they are right, agree', () => {
  for (const [ours, quantities, maths] of ORACLES) {
    const size = decimalToSI('1', unit(ours))
    if (quantities !== null) expect(Qty(1, quantities).toBase().scalar / size, ours).toBeCloseTo(1, 12)
    // mathjs holds the gram as its base mass: times 1000 for each power of mass.
    if (maths !== null) {
      const { value, dimensions } = evaluate(`1 ${maths}`) as MathUnit & { value: number; dimensions: number[] }
      expect(dimensions[0]!, ours).toBeCloseTo(unit(ours).dimension[1]!, 12)
      expect(dimensions[1]!, ours).toBeCloseTo(unit(ours).dimension[0]!, 12)
      expect(value / size, ours).toBeCloseTo(1, 12)
    }
  }
})

test('pi is exact to 50 places', () => {
  // Machin: pi = 16 arctan(1/5) − 4 arctan(1/239), in whole numbers of 10^-60.
  const scale = 10n ** 60n
  const arctan = (inverse: bigint) => {
    let [term, sum, odd, sign] = [scale / inverse, 0n, 1n, 1n]
    while (term > 0n) {
      sum += (sign * term) / odd
      term /= inverse * inverse
      odd += 2n
      sign = -sign
    }
    return sum
  }
  const pi = 16n * arctan(5n) - 4n * arctan(239n)
  const ours = ofFactorText('pi')
  const difference = (ours.over * scale) / ours.under - pi
  expect(difference < 10n ** 10n && difference > -(10n ** 10n)).toBe(true)
  expect(nearest(ours.over, ours.under)).toBe(Math.PI)
})
