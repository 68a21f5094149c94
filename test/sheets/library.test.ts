import { describe, expect, test } from 'vitest'
import { type OpenOptions, openSheet, type Settings } from '../../sheets/index.ts'

/** What a program in plain JavaScript hands over, where types would have stopped it. */
const given = (value: unknown) => value as never

describe('what is handed over by mistake', () => {
  test('as a sheet’s text, or a name, is a TypeError that says so', () => {
    expect(() => openSheet(given(undefined))).toThrow(
      new TypeError('openSheet takes the text of a sheet; it was given undefined.'),
    )
    expect(() => openSheet(given(new Uint8Array(3)))).toThrow(
      new TypeError('openSheet takes the text of a sheet; it was given an object.'),
    )
    expect(() => openSheet('').working(given(3))).toThrow(
      new TypeError('working takes the name of a quantity; it was given a number.'),
    )
  })

  test.each([
    [undefined, 'undefined'],
    [null, 'null'],
    [{}, 'an object'],
    [true, 'a boolean'],
    [Promise.resolve('3 kg'), 'a promise'],
  ])('in place of a value (%s) is a problem of the asking', (value, words) => {
    const sheet = openSheet('fact mass = 2 kg')
    const set: Settings = { mass: given(value) }
    const { outcome, problems } = sheet.solve({ set })
    expect(outcome).toBe('faulty')
    expect(problems.map(({ message }) => message)).toEqual([`"mass" cannot be set to ${words}.`])
    expect(() => sheet.at(set)).toThrow(new RangeError(`"mass" cannot be set to ${words}.`))
  })

  test('in place of a file’s text is a file that cannot be read, for a table as for variants', () => {
    const late: OpenOptions = { load: given(async () => 'mach,drag\n') }
    expect(openSheet('table drag of mach from "a.csv"', late).problems.map(({ message }) => message)).toEqual([
      'The file "a.csv" could not be read: load gave a promise in place of its text',
    ])
    const family = openSheet('fact mass = 2 kg\nvariants from "b.csv"\n', late)
    expect(family.variants().problems.map(({ message }) => message)).toEqual([
      'The file "b.csv" cannot be read: load gave a promise in place of its text.',
    ])
  })
})

test('a share of variants is the ith of n, or a problem of the asking', () => {
  const sheet = openSheet('fact a = 1\nmust a at least 1\nvariants\n  each a over 1, 2, 3\n')
  const rows = (share: readonly [number, number]): number => [...sheet.variants({ share })].length
  expect([rows([1, 2]), rows([2, 2]), rows([1, 1])]).toEqual([2, 1, 3])
  for (const share of [
    [0, 2],
    [3, 2],
    [1.5, 2],
    [1, Number.NaN],
  ] as const) {
    expect(rows(share), String(share)).toBe(0)
    expect(sheet.variants({ share }).problems.map(({ message }) => message)).toEqual([
      `[${share[0]}, ${share[1]}] is no share of the variants.`,
    ])
  }
})

test('a sheet without levers is worked out without any', () => {
  expect(openSheet('fact a = 3 kg\nfigure b = 2 * a').at().b).toBe(6)
  const sheet = openSheet('lever x from 0 to 1\nlever y from 0 to 1')
  expect(() => sheet.at()).toThrow(new RangeError('No value is given for "x", "y".'))
  expect(() => openSheet('fact a = ').at()).toThrow(new Error('The sheet has errors: see its problems.'))
})
