import { expect, test } from 'vitest'
import { FIRST_WORDS, nearest } from '../../grammar/index.ts'

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
