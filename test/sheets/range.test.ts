import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { decimalToSI, fromSI, parseUnit, type Unit } from '../../grammar/units/unit.ts'
import { openSheet } from '../../sheets/index.ts'
import { decimalFrom, decimalNear, decimalText, stepFrom, stepsBetween } from '../../sheets/open/decimal.ts'
import { countedSettings, type LeverRange, leverRange, nearestSetting, rangeBeyond } from '../../sheets/open/range.ts'

function unit(text: string): Unit {
  const parsed = parseUnit(text)
  if ('fault' in parsed) throw new Error(parsed.fault.message)
  return parsed.unit
}

const PERCENT = unit('%')
const written = (from: string, to: string, step: string | null, of = PERCENT) => ({
  unit: of,
  from: decimalFrom(from),
  to: decimalFrom(to),
  step: step === null ? null : decimalFrom(step),
})

function ready(range: ReturnType<typeof leverRange>): LeverRange {
  if (typeof range === 'string') throw new Error(range)
  return range
}

test('settings are the doubles nearest to their true values, however they are counted', () => {
  const decimal = fc
    .tuple(
      fc.bigInt({ min: -(10n ** 17n), max: 10n ** 17n }),
      fc.integer({ min: 0, max: 20 }),
      fc.integer({ min: 0, max: 16 }),
    )
    .map(([digits, places, cut]) => ({ digits: digits / 10n ** BigInt(cut), places }))
  const some = fc.constantFrom('%', 'kg', 'kPa', 'degC', 'degF', 'ft', 'lbf', 'g0', 'km', 'deg', 'min').map(unit)
  fc.assert(
    fc.property(decimal, decimal, fc.integer({ min: 1, max: 60 }), some, (first, by, count, of) => {
      const counted = countedSettings(first, by, count, of)
      expect([...counted]).toEqual(
        Array.from({ length: count }, (_, k) => decimalToSI(decimalText(stepFrom(first, k, by)), of)),
      )
    }),
    { numRuns: 2000 },
  )
})

describe('decimals', () => {
  test('are read exactly and printed without needless digits', () => {
    const cases: [string, string][] = [
      ['12.50', '12.5'],
      ['.5', '0.5'],
      ['-0.050', '-0.05'],
      ['1e3', '1000'],
      ['2.5e-3', '0.0025'],
      ['0', '0'],
    ]
    for (const [text, printed] of cases) expect(decimalText(decimalFrom(text)!)).toBe(printed)
    for (const wrong of ['', '.', 'e3', '1..2', '1e99999', 'NaN']) expect(decimalFrom(wrong)).toBeNull()
  })

  test('add up without the drift of doubles', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -9999, max: 9999 }),
        fc.integer({ min: 1, max: 999 }),
        fc.integer({ min: 0, max: 5000 }),
        fc.integer({ min: 0, max: 4 }),
        (from, step, k, places) => {
          const at = stepFrom({ digits: BigInt(from), places }, k, { digits: BigInt(step), places })
          expect(decimalText(at)).toBe(decimalText({ digits: BigInt(from + k * step), places }))
          expect(Number(decimalText(at))).toBe(Number(`${from + k * step}e-${places}`))
        },
      ),
    )
  })

  test('near a double print as it does', () => {
    expect(decimalText(decimalNear(0.1 + 0.2))).toBe('0.3')
    expect(decimalText(decimalNear(1e-7))).toBe('0.0000001')
  })

  test('count the steps between two ends, both counted in', () => {
    expect(stepsBetween(decimalFrom('30')!, decimalFrom('100')!, decimalFrom('1')!)).toBe(71n)
    expect(stepsBetween(decimalFrom('0')!, decimalFrom('1')!, decimalFrom('0.3')!)).toBe(4n)
    expect(stepsBetween(decimalFrom('1')!, decimalFrom('0')!, decimalFrom('0.3')!)).toBe(0n)
  })
})

describe('the range of a lever', () => {
  test('has the very doubles that its decimals are nearest to', () => {
    const { range, text } = ready(leverRange(written('30', '100', '1'), 0.3, 1, 0.01))
    expect(range.settings).toHaveLength(71)
    for (let k = 0; k < 71; k++) {
      expect(range.settings![k]).toBe((30 + k) / 100)
      expect(text(range.settings![k]!)).toBe(String(30 + k))
    }
  })

  test('writes a value that is off the steps as it is', () => {
    expect(ready(leverRange(written('30', '100', '1'), 0.3, 1, 0.01)).text(0.615)).toBe('61.5')
  })

  test('without steps rounds to nine figures and never leaves its ends', () => {
    const third = 1 / 3
    const { range } = ready(leverRange({ unit: unit('m'), from: null, to: null, step: null }, third, 2 * third, null))
    fc.assert(
      fc.property(fc.double({ min: third, max: 2 * third, noNaN: true }), x => {
        const rounded = range.inward(x)
        expect(rounded).toBeGreaterThanOrEqual(third)
        expect(rounded).toBeLessThanOrEqual(2 * third)
        expect(Math.abs(rounded - x)).toBeLessThan(1e-9)
      }),
    )
  })

  test('tells what is wrong with one that cannot be', () => {
    expect(leverRange(written('5', '1', '1'), 0.05, 0.01, 0.01)).toBe('upside down')
    expect(leverRange(written('5', '5', '1'), 0.05, 0.05, 0.01)).toBe('no width')
    expect(leverRange(written('1', '5', '0'), 0.01, 0.05, 0)).toBe('no step')
    expect(leverRange(written('1', '5', '0.0000001'), 0.01, 0.05, 1e-9)).toBe('too many')
  })

  test('finds the nearest setting', () => {
    const settings = Float64Array.of(0, 1, 2, 5)
    expect([-3, 0.4, 0.6, 3.4, 3.6, 9].map(x => nearestSetting(settings, x))).toEqual([0, 0, 1, 2, 3, 3])
  })
})

test('steps that are worked out are counted in full: three thirds are one', () => {
  const answer = openSheet('lever x from 0 to 1 in steps of 1/3\nmust x at least 1').solve()
  expect([answer.outcome, answer.quantities.x!.si, answer.quantities.x!.text]).toEqual(['solved', 1, '1'])
  const two = openSheet('lever x from 0 to 1 in steps of 1/3\nmust x within 0.6 to 0.7').solve()
  expect(two.quantities.x!.si).toBe(2 / 3)
})

test('zero on a scale that begins elsewhere is told as zero, within a range and beyond it', () => {
  const solved = openSheet('lever t from -5 degC to 20 degC\nmust t at most 0 degC\nmust t at least 0 degC').solve()
  expect(solved.quantities.t!.text).toBe('0 degC')
  const { conflict } = openSheet('lever t from 5 degC to 20 degC in steps of 5 K\nmust t at most 0 degC').solve()
  expect(conflict!.sets[0]!.widenings.map(({ text }) => text)).toEqual(['t from 0 degC to 20 degC'])
})

test('a range that is advised in steps of a third holds the step that it is for', () => {
  const sheet = (to: string): string => `fact third = 1 kg / 3
lever a from 1 kg to ${to} in steps of third
must a at least 4.2 kg`
  const { conflict } = openSheet(sheet('3 kg')).solve()
  const [advice] = conflict!.sets[0]!.widenings
  expect(advice!.text).toBe('a from 1 kg to 4.334 kg')
  expect(openSheet(sheet('4.334 kg')).solve().outcome).toBe('solved')
})

test('a pinned lever is told as the decimal it is', () => {
  const answer = openSheet('lever cap from 30 % to 100 % in steps of 1 %\nmust cap at least 40 %').solve({
    set: { cap: '55 %' },
  })
  expect([answer.quantities.cap!.value, answer.quantities.cap!.text]).toEqual([55, '55 %'])
})

describe('a range beyond one of its ends', () => {
  const beyond = (from: string, to: string, step: string | null, of: Unit, end: 'from' | 'to') => {
    const text = written(from, to, step, of)
    const [low, high] = [from, to].map(each => decimalToSI(each, of)) as [number, number]
    const by = step === null ? null : decimalToSI(step, { ...of, offset: 0n })
    const range = rangeBeyond(text, ready(leverRange(text, low, high, by)), end)
    return range && [fromSI(range.from, of), fromSI(range.to, of), range.settings?.length ?? null]
  }
  const close = (...values: number[]) => values.map(value => expect.closeTo(value, 9))

  test('is as wide again, its steps going on', () => {
    expect(beyond('30', '100', '1', PERCENT, 'to')).toEqual([...close(101, 170), 70])
    expect(beyond('-3', '5', '2', unit('m'), 'from')).toEqual([...close(-11, -5), 4])
    expect(beyond('2', '3', null, unit('kg'), 'from')).toEqual([...close(1, 2), null])
  })

  test('holds no less than none of an amount', () => {
    expect(beyond('30', '100', '1', PERCENT, 'from')).toEqual([...close(0, 29), 30])
    expect(beyond('1', '4', '2', unit('kg'), 'from')).toBeNull()
    expect(beyond('0', '4', '1', unit('kg'), 'from')).toBeNull()
    expect(beyond('0', '4', null, unit('kg'), 'from')).toBeNull()
    expect(beyond('2', '9', null, unit('kg'), 'from')).toEqual([...close(0, 2), null])
  })

  test('goes on below zero where the range does, for angles, and on scales that begin elsewhere', () => {
    expect(beyond('-1', '4', null, unit('kg'), 'from')).toEqual([...close(-6, -1), null])
    expect(beyond('0', '4', '1', unit('deg'), 'from')).toEqual([...close(-4, -1), 4])
    expect(beyond('0', '20', '10', unit('degC'), 'from')).toEqual([...close(-20, -10), 2])
  })
})
