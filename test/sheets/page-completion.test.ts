import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { type Before, offered } from '../../sheets/page/editor/completion.ts'

const EXAMPLES = readdirSync('sheets/examples').filter(name => name.endsWith('.loft'))

function at(text: string, names: readonly string[] = [], asked = false): Before {
  const lines = text.split('\n')
  return { line: lines.at(-1)!, above: lines.slice(0, -1), names, asked }
}

/** A line with a word of the list taken into it. */
function taken(text: string, word: string, names: readonly string[] = []): string | null {
  const offer = offered(at(text, names))
  return offer?.words.includes(word) ? text.slice(0, text.length - offer.letters) + word : null
}

describe('the list of words that may stand at the cursor', () => {
  test.each(EXAMPLES)('stands between no whole line and the next: %s', name => {
    const text = readFileSync(`sheets/examples/${name}`, 'utf8')
    const { names } = openSheet(text).outline()
    const lines = text.split('\n')
    expect(lines.length).toBeGreaterThan(10)
    lines.forEach((line, k) => {
      expect([line, offered({ line, above: lines.slice(0, k), names, asked: false })]).toEqual([line, null])
    })
  })

  test('gives each name of a sheet by each beginning of it, by several of its words as well', () => {
    const { names } = openSheet(readFileSync('sheets/examples/heron.loft', 'utf8')).outline()
    const short = names.filter(name => !name.includes(' of '))
    expect(short.length).toBeGreaterThan(30)
    let tried = 0
    for (const name of short)
      for (let letters = 1; letters < name.length; letters++) {
        const begun = name.slice(0, letters)
        // A beginning that is a name itself is whole, with a blank behind it or without.
        if (names.includes(begun.trimEnd())) continue
        tried++
        for (const before of ['must ', 'show ', 'figure a = 2 * (', 'aim most '])
          expect([before, begun, taken(before + begun, name, names)]).toEqual([before, begun, before + name])
      }
    expect(tried).toBeGreaterThan(300)
  })

  test.each([
    ['sh', 'sheet', 'sheet'],
    ['fact dry m', 'dry mass', 'fact dry mass'],
    ['fact a = 2.5 k', 'kN', 'fact a = 2.5 kN'],
    ['fact a = 2.5 kN*', 'kN*s', 'fact a = 2.5 kN*s'],
    ['lever throttle cap f', 'from', 'lever throttle cap from'],
    ['lever a from 1 % to 9 % in st', 'in steps of', 'lever a from 1 % to 9 % in steps of'],
    ['flight hop from M', 'Mars', 'flight hop from Mars'],
    ['body Pebble # small\nflight hop from P', 'Pebble', 'body Pebble # small\nflight hop from Pebble'],
    ['flight hop from Earth\n  rail l', 'rail length', 'flight hop from Earth\n  rail length'],
    ['flight hop from Earth\n  stage a\n    dry m', 'dry mass', 'flight hop from Earth\n  stage a\n    dry mass'],
    ['parachute a\n  can', 'canopy area', 'parachute a\n  canopy area'],
    ['variants\n  e', 'each', 'variants\n  each'],
    ['must peak g a', 'at most', 'must peak g at most'],
    ['must peak g at m', 'most', 'must peak g at most'],
    ['should max q al', 'max q altitude', 'should max q altitude'],
    ['must alt', 'burnout altitude', 'must burnout altitude'],
    ['aim r', 'roomiest', 'aim roomiest'],
    ['show apoapsis in k', 'km', 'show apoapsis in km'],
    ['table stack drag of mach\nfigure a = st', 'stack drag', 'table stack drag of mach\nfigure a = stack drag'],
  ])('%j can go on with %j', (text, word, wanted) => {
    const { names } = openSheet(readFileSync('sheets/examples/heron.loft', 'utf8')).outline()
    // What the sheet has is not declared again.
    expect(taken(text, word, text.startsWith('fact') || text.startsWith('lever') ? [] : names)).toBe(wanted)
  })

  test.each([
    'sheet "dr',
    '# dr',
    'fact a = 2 kg # dr',
    'stage boo',
    'flight hop from Earth\n  parachute ma',
    'table dr',
    'table drag of mach\n  0.8 0.4',
    'fact dry mass = 1 ',
    'must apoapsis ',
    'lever a from 1 kg t',
    '',
  ])('is not in the way: %j', text => {
    expect(offered(at(text, ['dry mass', 'apoapsis', 'apoapsis time', 'total']))).toBeNull()
  })

  test('takes no word of a sheet for one of its own', () => {
    for (const head of ['constructor', 'toString', '__proto__'])
      expect(offered(at(`${head}\n  fa`))?.words).toEqual(['fact'])
  })

  test('comes without a letter where it is asked for', () => {
    expect(offered(at('', [], true))!.words).toContain('fact')
    expect(offered(at('aim ', [], true))!.words).toEqual(['least', 'most', 'roomiest'])
    expect(offered(at('figure a = ', ['dry mass'], true))!.words).toContain('dry mass')
    expect(offered(at('must peak g at most 6 ', ['peak g'], true))!.words).toContain('g0')
  })
})
