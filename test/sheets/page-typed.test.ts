import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Said } from '../../sheets/page/spoken.ts'
import { setApart } from '../../sheets/page/text/right-to-left.ts'
import { plainTyped } from '../../sheets/page/text/typed.ts'
import { newDesk } from '../../sheets/page/worker/desk.ts'
import { laterJob } from '../../sheets/page/worker/later-jobs.ts'

describe('what a reader types for a value', () => {
  // The signs as Unicode's CLDR gives them for these languages, by the engine's own Intl.
  const signs = (language: string) => {
    const parts = new Intl.NumberFormat(language).formatToParts(12345.6)
    const value = (type: string): string => parts.find(part => part.type === type)!.value
    return { group: value('group'), decimal: value('decimal') }
  }

  test.each([
    ['de', '170,5 kg', '170.5 kg'],
    ['de', '-0,5', '-0.5'],
    ['de', '1.200,5 kg', '1200.5 kg'],
    ['de', '165,5 kg ± 2,5 kg', '165.5 kg ± 2.5 kg'],
    ['de', '1,2e3 N*s', '1.2e3 N*s'],
    // A point is the text's own sign, in whatever language it is read.
    ['de', '170.5 kg', '170.5 kg'],
    ['de', '1.225 kg/m^3', '1.225 kg/m^3'],
    ['en', '1,200 kg', '1200 kg'],
    ['en', '170,5 kg', '170,5 kg'],
    // In an expression a comma parts two values, and nonsense stays what it is.
    ['de', 'max(1,5)', 'max(1,5)'],
    ['de', 'dry mass * 1,5', 'dry mass * 1,5'],
    ['de', 'abc', 'abc'],
    ['de', '1,5,5 kg', '1,5,5 kg'],
  ])('in %s: %s', (language, typed, plain) => {
    expect(plainTyped(typed, signs(language))).toBe(plain)
  })

  test('is the same value in every language, and plain words are left alone', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('de', 'en', 'fr', 'de-CH', 'pt-BR', 'sv'),
        fc.integer({ min: -1e8, max: 1e8 }),
        fc.constantFrom('', ' kg', ' m/s^2', ' %'),
        (language, number, unit) => {
          const written = new Intl.NumberFormat(language, { maximumFractionDigits: 3, minimumFractionDigits: 3 })
          const words = `${written.format(number / 1000).replace('−', '-')}${unit}`
          const plain = plainTyped(words, signs(language))
          expect(Number(plain.slice(0, plain.length - unit.length))).toBe(number / 1000)
          expect(plainTyped(`${number / 1000}${unit}`, signs(language))).toBe(`${number / 1000}${unit}`)
        },
      ),
    )
  })
})

test('words from right to left are set apart with the numbers inside them, others are left alone', () => {
  expect(setApart('דלק 61 %, at most 70 %')).toBe('⁨דלק⁩ 61 %, at most 70 %')
  expect(setApart('דלק 2 חם 61 %')).toBe('⁨דלק 2 חם⁩ 61 %')
  expect(setApart('масса 61 %, 燃料 3 kg')).toBe('масса 61 %, 燃料 3 kg')
})

describe('a value typed for a lever', () => {
  const typed = (text: string, name: string, words: string): Said =>
    [...laterJob(newDesk(), { kind: 'setting', text, name, words })][0]!
  const sheet = 'lever length from 1 ft to 3 ft in steps of 0.5 ft\nfact spare = 0.5 ft\nfigure twice = 2 * length\n'

  test('is a length in any unit: the foot is 0.3048 m exactly, as agreed in 1959', () => {
    for (const words of ['2', '2 ft', '24 inch', '0.6096 m', '60.96 cm', '4 * spare']) {
      const said = typed(sheet, 'length', words)
      expect(said).toMatchObject({ kind: 'setting', name: 'length', words: '' })
      expect(said.kind === 'setting' && said.si).toBeCloseTo(2 * 0.3048, 12)
    }
  })

  test('between two steps is the nearest of them, and that is said', () => {
    expect(typed(sheet, 'length', '1.6')).toMatchObject({
      si: expect.closeTo(1.5 * 0.3048, 12),
      words: 'length moves in steps: it is at the one nearest to 1.6 ft.',
    })
  })

  test.each([
    ['4 ft', /its range is 1 ft to 3 ft/],
    ['2 kg', /"length" is a length \(m\); "2 kg" is a mass/],
    ['twice', /hangs on a lever/],
    ['1 ft\nfact more = 2', /cannot be set/],
  ])('%j is refused with a reason', (words, why) => {
    const said = typed(sheet, 'length', words)
    expect(said).toMatchObject({ kind: 'setting', si: null })
    expect(said.kind === 'setting' && said.words).toMatch(why)
  })

  test('waits for the sheet to be mended, and knows when its lever is gone', () => {
    expect(typed(`${sheet}fact a =\n`, 'length', '2')).toMatchObject({ si: null, words: 'Line 4 needs mending first.' })
    expect(typed(sheet, 'width', '2')).toMatchObject({ si: null, words: 'The sheet has no lever width any more.' })
  })
})
