import fc from 'fast-check'
import nearley from 'nearley'
import { expect, test } from 'vitest'
import { readTokens } from '../../grammar/line.ts'
import { splitLines } from '../../grammar/lines.ts'
import rules from '../../grammar/loft.generated.ts'
import { readingKept } from '../../grammar/reading.ts'
import { lexer, type Token, tokens } from '../../grammar/tokens.ts'
import { sheetText, statements } from '../support/sheet-arbitrary.ts'

/** All that nearley makes of a line by the grammar as it is written, begun from any kind of line. */
function byNearley(line: readonly Token[]): unknown[] {
  const left = [...line]
  const grammar = nearley.Grammar.fromCompiled(rules)
  const parser = new nearley.Parser(grammar, {
    lexer: { ...lexer, next: () => left.shift() } as unknown as nearley.Lexer,
  })
  return parser.feed('').results
}

test('a line says what nearley makes of it, whether or not one of its form was read before', () => {
  let lines = 0
  fc.assert(
    fc.property(statements, all => {
      for (const [index, text] of splitLines(sheetText(all)).entries()) {
        const line = tokens(text, index + 1).tokens
        if (line.length === 0) continue
        lines++
        const read = [readTokens(line), readTokens(line)]
        const plain = byNearley(line)
        expect(plain).toHaveLength(1)
        for (const each of read) expect(each).toEqual({ node: plain[0] })
      }
    }),
    { numRuns: 300 },
  )
  expect(lines).toBeGreaterThan(50)
})

test('a wrong line is stuck at the same place, whatever was read before', () => {
  const wrong = tokens('figure area = 2 * of', 1).tokens
  const before = readTokens(wrong)
  readTokens(tokens('figure area = 2 * width', 1).tokens)
  expect(readTokens(wrong)).toEqual(before)
  expect(before).toMatchObject({ stuck: { at: 5, complete: false } })
})

test('a reading is kept for the very kinds of token, and for no others', () => {
  const kept = tokens('figure height = 2 m + depth', 1).tokens
  readTokens(kept)
  const reading = readingKept(kept)
  expect(reading).not.toBeNull()
  expect(readingKept(tokens('figure speed = 7 - g', 9).tokens)).toBe(reading)
  expect(readingKept(kept.slice(0, 3))).toBeNull()
  expect(readingKept(tokens('fact height = 2 m + depth', 1).tokens)).toBeNull()
})

test('10,000 tokens are kept: with more, the earlier are forgotten, and all is still read alike', () => {
  const line = (terms: number, depth: number): readonly Token[] =>
    tokens(`figure x = ${'('.repeat(depth)}${Array(terms).fill('a').join(' + ')}${')'.repeat(depth)}`, 1).tokens
  const forms = Array.from({ length: 400 }, (_, k) => line(1 + (k % 40), Math.floor(k / 40)))
  const first = forms.map(readTokens)
  const places = forms.map(readingKept).flatMap((reading, k) => (reading ? [k] : []))
  const left = forms.slice(places[0]).reduce((sum, form) => sum + form.length, 0)
  // What is kept is the last of them without a gap.
  expect(places).toEqual(Array.from({ length: 400 - places[0]! }, (_, k) => places[0]! + k))
  expect(places.length).toBeGreaterThan(0)
  expect(places[0]).toBeGreaterThan(0)
  // Of few all are kept, at the latest the second time: a thousand tokens are forgotten once at most.
  const few = forms.slice(0, 20)
  few.forEach(readTokens)
  few.forEach(readTokens)
  expect(few.map(readingKept)).not.toContain(null)
  expect(left).toBeLessThanOrEqual(10_000)
  expect(forms.map(readTokens)).toEqual(first)
  expect(first.every(read => 'node' in read)).toBe(true)
})
