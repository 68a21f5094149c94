import fc from 'fast-check'
import { expect, test } from 'vitest'
import { FIRST_WORDS, nearest, Vocabulary } from '../../grammar/index.ts'

test.each([
  ['leaver', 'lever'],
  ['lver', 'lever'],
  ['figrue', 'figure'],
  ['Fact', 'fact'],
  ['MUST', 'must'],
  ['shoud', 'should'],
  ['parashute', 'parachute'],
  ['stages', 'stage'],
])('%s was to be %s', (word, meant) => {
  expect(nearest(word, FIRST_WORDS)).toBe(meant)
})

test.each(['hello', 'x', 'rocket', 'lift', 'a', ''])('nothing is said of %j', word => {
  expect(nearest(word, FIRST_WORDS)).toBeNull()
})

const NAMES = [
  'dry mass',
  'full load',
  'vacuum thrust',
  'sea level thrust',
  'specific impulse',
  'total impulse',
  'apoapsis',
  'throttle cap',
]

test.each([
  ['dry mas', 'dry mass'],
  ['drymass', 'dry mass'],
  ['mass dry', 'dry mass'],
  ['throtle cap', 'throttle cap'],
  ['apopasis', 'apoapsis'],
  ['load', 'full load'],
  ['the dry mass', 'dry mass'],
  ['Apoapsis', 'apoapsis'],
])('the name %s was to be %s', (word, meant) => {
  expect(nearest(word, NAMES)).toBe(meant)
})

test.each(['impulse', 'thrust', 'mass ratio', 'periapsis height', 'cp'])('the name %s is too unsure', word => {
  expect(nearest(word, NAMES)).toBeNull()
})

test('two names as near as each other leave it unsure', () => {
  expect(nearest('cap c', ['cap a', 'cap b'])).toBeNull()
  expect(nearest('caps', ['cap', 'caps'])).toBe('cap')
})

test('the word itself is never offered', () => {
  expect(nearest('lever', ['lever'])).toBeNull()
})

test('letters outside the first 65,536 count as one', () => {
  expect(nearest('𐐨𐐩𐐪', ['𐐨𐐩𐐫'])).toBe('𐐨𐐩𐐫')
})

/** Slips by the textbook's recursion over prefixes (optimal string alignment, Wikipedia "Damerau–Levenshtein distance"). */
function slips(a: string, b: string): number {
  const memo = new Map<string, number>()
  const d = (i: number, j: number): number => {
    const key = `${i},${j}`
    const known = memo.get(key)
    if (known !== undefined) return known
    let best = i === 0 || j === 0 ? i + j : d(i - 1, j - 1) + (a[i - 1] === b[j - 1] ? 0 : 1)
    if (i > 0 && j > 0) best = Math.min(best, d(i - 1, j) + 1, d(i, j - 1) + 1)
    if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) best = Math.min(best, d(i - 2, j - 2) + 1)
    memo.set(key, best)
    return best
  }
  return d(a.length, b.length)
}

test('one vocabulary asked many words finds what a look at every name finds', () => {
  const word = fc.string({ unit: fc.constantFrom(...'abc '), minLength: 6, maxLength: 9 })
  fc.assert(
    fc.property(
      fc.uniqueArray(word, { minLength: 1, maxLength: 12 }),
      fc.array(word, { maxLength: 12 }),
      (names, asked) => {
        const vocabulary = new Vocabulary(names)
        for (const wrong of asked) {
          const others = names.filter(name => name !== wrong).map(name => ({ name, slips: slips(wrong, name) }))
          const least = Math.min(...others.map(each => each.slips))
          const nearby = others.filter(each => each.slips === least)
          if (least <= 2) expect(vocabulary.nearest(wrong)).toBe(nearby.length === 1 ? nearby[0]!.name : null)
        }
      },
    ),
    { numRuns: 300 },
  )
})

test('thousands of wrong names get suggestions for the first of them only', () => {
  const names = Array.from({ length: 3000 }, (_, i) => `tank ${String(i).padStart(4, '0')} mass`)
  const vocabulary = new Vocabulary(names)
  const answers = names.map(name => vocabulary.nearest(name.replace('mass', 'masss')))
  expect(answers[0]).toBe(names[0])
  expect(answers.at(-1)).toBeNull()
})
