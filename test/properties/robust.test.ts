import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'

const sheets = ['heron', 'small-world', 'two-sites', 'calibration', 'thrust-lesson'].map(name =>
  readFileSync(`sheets/examples/${name}.loft`, 'utf8'),
)

/** Pieces that sheets are made of, and some that they are not. */
const PIECES = [
  ' ',
  '\n',
  '\n  ',
  '=',
  '±',
  '(',
  ')',
  '^',
  '/',
  '*',
  '-',
  '0',
  '1e400',
  '1e-300',
  '%',
  'kg',
  'g0',
  'degC',
  'from',
  'to',
  'of',
  'if',
  'then',
  'else',
  'lever',
  'fact',
  'figure',
  'must',
  'aim',
  'table',
  'body',
  'flight',
  'hop',
  'Earth',
  'apoapsis',
  'mach',
  '__proto__',
  'constructor',
  'sqrt(',
  'air density(',
  '"',
  '#',
  '\ufeff',
  '\u202e',
  '\ud800',
  '\0',
  '\t',
  '\r',
]

const edit = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  cut: fc.nat(12),
  piece: fc.constantFrom(...PIECES),
})

describe('a sheet with slips in it', () => {
  test('is checked without a crash, and every problem says where and what', () => {
    fc.assert(
      fc.property(fc.constantFrom(...sheets), fc.array(edit, { minLength: 1, maxLength: 8 }), (text, edits) => {
        let wrong = text
        for (const { at, cut, piece } of edits) {
          const from = Math.floor(at * wrong.length)
          wrong = wrong.slice(0, from) + piece + wrong.slice(from + cut)
        }
        const { problems } = openSheet(wrong).check()
        const lines = wrong.split(/\r\n|\r|\n/).length
        for (const { line, column, length, message } of problems) {
          expect(line).toBeGreaterThanOrEqual(1)
          expect(line).toBeLessThanOrEqual(lines)
          expect(column).toBeGreaterThanOrEqual(1)
          expect(length).toBeGreaterThanOrEqual(0)
          expect(message).toMatch(/^\S.*[.?!]$/su)
        }
      }),
      { numRuns: 400 },
    )
  })

  test('is answered without a crash, with no number that is none', () => {
    fc.assert(
      fc.property(fc.constantFrom(...sheets), edit, (text, { at, cut, piece }) => {
        const from = Math.floor(at * text.length)
        const answer = openSheet(text.slice(0, from) + piece + text.slice(from + cut)).solve()
        expect(JSON.stringify(answer)).not.toMatch(/NaN/)
        for (const { si, reason } of Object.values(answer.quantities)) if (si === null) expect(reason).toBeTruthy()
        if (answer.outcome === 'solved')
          for (const target of answer.targets) if (target.level === 'must') expect(target.met).toBe(true)
      }),
      { numRuns: 150 },
    )
  })

  test('may be anything at all', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 2000 }), text => Array.isArray(openSheet(text).problems)),
      { numRuns: 200 },
    )
    for (const text of [
      '('.repeat(50000),
      `fact a = ${'1+'.repeat(900)}1`,
      'x'.repeat(1_000_000),
      `figure a = ${'-'.repeat(5000)}1`,
    ])
      expect(openSheet(text).check().problems).toBeDefined()
  })
})
