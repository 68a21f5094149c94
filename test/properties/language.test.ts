import fc from 'fast-check'
import { expect, test } from 'vitest'
import { expressionText, parse, renderProblems, targetText, tidy } from '../../grammar/index.ts'
import { heron } from '../support/heron.ts'
import { expression, meaning, sheetText, statement, statements } from '../support/sheet-arbitrary.ts'

test('every tree, written as a sheet, is read as the same tree, in exactly one way', () => {
  fc.assert(
    fc.property(statements, all => {
      // A second reading of a line would be an error thrown by parse.
      const tree = parse(sheetText(all))
      expect(tree.problems).toEqual([])
      expect(meaning(tree.statements)).toEqual(meaning(all))
    }),
    { numRuns: 600 },
  )
})

test('tidy keeps the meaning of a sheet and changes nothing the second time', () => {
  fc.assert(
    fc.property(statements, all => {
      const once = tidy(sheetText(all))
      expect(once.problems).toEqual([])
      expect(meaning(parse(once.text).statements)).toEqual(meaning(all))
      expect(tidy(once.text).text).toBe(once.text)
    }),
    { numRuns: 300 },
  )
})

test('however its lines are indented, a sheet tidied stays tidied, with as many problems', () => {
  const line = fc.constantFrom(
    'flight hop from Earth',
    'stage first',
    'parachute main',
    'body Rock',
    'table drag of mach',
    'variants',
    'dry mass = 5 kg',
    'opening altitude = 2 km',
    'fact a = 3 kg   # kept',
    'must apoapsis at least 3 km',
    '0, 1',
    'each a over 1 kg, 2 kg',
    'stag first',
    'dry mass 5',
    '# a comment alone',
    '',
  )
  const indent = fc.constantFrom('', '', '  ', '  ', '    ', '    ', '      ', ' ', '   ', '     ', '\t', '\t\t')
  const lines = fc.array(fc.tuple(indent, line), { maxLength: 9 })
  fc.assert(
    fc.property(lines, all => {
      const text = all.map(([by, words]) => by + words).join('\n')
      const once = tidy(text)
      expect(tidy(once.text).text).toBe(once.text)
      expect(parse(once.text).problems.map(each => each.message)).toEqual(once.problems.map(each => each.message))
    }),
    { numRuns: 4000 },
  )
})

test('an expression, and a target, printed by itself is read as itself', () => {
  fc.assert(
    fc.property(expression, value => {
      const tree = parse(`figure x = ${expressionText(value)}`)
      expect(meaning(tree.statements)).toMatchObject([{ kind: 'figure', value: meaning(value) }])
    }),
    { numRuns: 300 },
  )
  fc.assert(
    fc.property(statement, each => {
      if (each.kind !== 'target') return
      const tree = parse(`${each.level} ${targetText(each)}`)
      expect(meaning(tree.statements)).toMatchObject([meaning({ ...each, comment: null }) as object])
    }),
    { numRuns: 300 },
  )
})

/** A text with some characters of it taken away, doubled, or put in from elsewhere. */
function mutated(text: fc.Arbitrary<string>): fc.Arbitrary<string> {
  const piece = fc.oneof(
    fc.constantFrom(
      '(',
      ')',
      '"',
      '#',
      '=',
      '\n',
      '\n  ',
      '\t',
      ',',
      ' of ',
      ' to ',
      'if ',
      ' then ',
      '-',
      '^',
      '%',
      '\0',
      '\ud800',
      '\u202e',
      '\r',
      '9e999',
      '±',
      ' at ',
    ),
    fc.string({ unit: 'binary', maxLength: 3 }),
  )
  const change = fc.record({ at: fc.nat(), take: fc.nat({ max: 6 }), put: piece })
  return fc.tuple(text, fc.array(change, { minLength: 1, maxLength: 6 })).map(([start, changes]) =>
    changes.reduce((now, { at, take, put }) => {
      const index = at % (now.length + 1)
      return now.slice(0, index) + put + now.slice(index + take)
    }, start),
  )
}

function checkAnyText(text: string): void {
  const tree = parse(text)
  const lines = text.split(/\r\n|\r|\n/)
  for (const { line, column, length, message } of tree.problems) {
    expect(line).toBeGreaterThanOrEqual(1)
    expect(line).toBeLessThanOrEqual(lines.length)
    expect(column).toBeGreaterThanOrEqual(1)
    expect(column).toBeLessThanOrEqual(lines[line - 1]!.length + 1)
    expect(length).toBeGreaterThanOrEqual(1)
    expect(message).toMatch(/^[^\n]+[.]$/)
  }
  renderProblems(tree.problems, text, 'any.loft')
  const once = tidy(text)
  expect(meaning(parse(once.text).statements)).toEqual(meaning(tree.statements))
  expect(tidy(once.text).text).toBe(once.text)
  expect(parse(once.text).problems.length).toBe(tree.problems.length)
}

test('any text at all is read without a crash, and tidied to the same meaning', () => {
  fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 300 }), checkAnyText), { numRuns: 500 })
})

test('a real sheet with random damage is read without a crash, and tidied to the same meaning', () => {
  fc.assert(fc.property(mutated(fc.constant(heron)), checkAnyText), { numRuns: 500 })
  fc.assert(fc.property(mutated(statements.map(sheetText)), checkAnyText), { numRuns: 500 })
})
