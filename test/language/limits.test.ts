import { expect, test } from 'vitest'
import { NESTING, parse, renderProblems, SHEET_BYTES, STATEMENT_TOKENS, tidy } from '../../grammar/index.ts'

/** The messages about a sheet, each once. */
function messages(text: string): string[] {
  return [...new Set(parse(text).problems.map(each => each.message))]
}

test('a sheet of 1 MB is read and a larger one is refused, whatever its letters', () => {
  const line = '# 0123456789\n'
  const full = line.repeat(Math.floor(SHEET_BYTES / line.length))
  expect(messages(full)).toEqual([])
  expect(messages(`${full}${line}`)).toEqual(['This sheet is larger than 1 MB, the largest that is read.'])
  expect(messages(`# ${'ä'.repeat(SHEET_BYTES / 2 - 1)}`)).toEqual([])
  expect(messages(`# ${'ä'.repeat(SHEET_BYTES / 2)}`)).toHaveLength(1)
  expect(messages(`# ${'🚀'.repeat(SHEET_BYTES / 4 - 1)}`)).toEqual([])
  expect(messages(`# ${'质'.repeat(SHEET_BYTES / 2)}`)).toHaveLength(1)
  const larger = `${full}${line}fact   a = 1`
  expect(tidy(larger).text).toBe(larger)
})

test('a statement of 2,000 tokens is read, tidied and read again; a longer one is refused at the place', () => {
  // figure, a name, = and a number, then a sign and a number each.
  const terms = (STATEMENT_TOKENS - 4) / 2
  const longest = `figure a = 1${' + 1'.repeat(terms)}\n`
  expect(messages(longest)).toEqual([])
  expect(tidy(longest).text).toBe(longest)
  expect(parse(`${longest.trimEnd()} - 1`).problems).toMatchObject([{ line: 1, column: longest.length + 1 }])
  expect(messages(`${longest.trimEnd()} - 1`)).toEqual([
    'A statement holds 2000 names, numbers and signs at most; this one holds more.',
  ])
})

test.each([
  ['parentheses', (depth: number) => `${'('.repeat(depth)}a${')'.repeat(depth)}`],
  ['calls', (depth: number) => `${'abs('.repeat(depth)}a${')'.repeat(depth)}`],
  ['ifs', (depth: number) => `${'if a < 1 then 2 else '.repeat(depth)}3`],
  ['signs', (depth: number) => `${'- '.repeat(depth)}a`],
  ['powers', (depth: number) => `a${' ^ a'.repeat(depth)}`],
])('100 %s inside one another are read, more are refused', (_, nested) => {
  expect(messages(`figure a = ${nested(NESTING)}`)).toEqual([])
  const deep = ['Here more than 100 parentheses, ifs, signs or powers stand inside one another.']
  expect(messages(`figure a = ${nested(NESTING + 1)}`)).toEqual(deep)
  const text = `figure a = ${nested(NESTING)}`
  expect(messages(tidy(text).text)).toEqual([])
})

test('operators side by side are not nested', () => {
  expect(messages(`figure a = ${'-a * -a ^ 2 + '.repeat(150)}(a)`)).toEqual([])
  expect(messages(`figure a = ${'(a) * '.repeat(300)}(a)`)).toEqual([])
})

// The bounds on time are ten times what is needed on a busy machine: they tell linear growth from any other.
const nested = `figure a = ${'('.repeat(99)}a${')'.repeat(99)}`
test.each<[string, string]>([
  ['one line of open parentheses', `figure a = ${'('.repeat(990_000)}`],
  ['one line of one name', `fact ${'a '.repeat(490_000)}`],
  ['one line of one word', `fact ${'a'.repeat(990_000)} = 1`],
  ['one line of operators', `fact a = ${'+'.repeat(990_000)}`],
  ['one line of stray characters', `fact a = ${'$'.repeat(990_000)}`],
  ['one line of an open quote', `sheet "${'a'.repeat(990_000)}`],
  ['one line of blanks', `fact a =${' '.repeat(990_000)}`],
  ['one line of digits', `fact a = ${'1'.repeat(990_000)}`],
  ['one unit of open parentheses', `fact a = 1 m${'*('.repeat(490_000)}m`],
  ['lines of one character', 'x\n'.repeat(30_000)],
  ['lines ever further indented', Array.from({ length: 1300 }, (_, depth) => `${' '.repeat(depth)}x`).join('\n')],
  ['comments alone in a block', `flight a from b\n  c = 1\n${'   #\n'.repeat(60_000)}`],
  ['a flight of very many stages', `flight a from b\n${'  stage c\n    d = 1\n'.repeat(12_000)}`],
  ['empty lines', '\n'.repeat(990_000)],
  ['nested lines that are right', `${nested}\n`.repeat(1000)],
  ['nested lines that are wrong', `${nested} a 1 (\n`.repeat(1000)],
])(
  '%s: read, tidied and rendered without delay',
  (_, text) => {
    const { problems } = parse(text)
    expect(tidy(text).problems).toEqual(problems)
    const shown = renderProblems(problems.slice(0, 100), text, 'any.loft')
    expect(shown.length).toBeLessThan(100 * 1000)
  },
  60_000,
)

test('a million random bytes are read without delay', () => {
  // A fixed sequence (a linear congruence), so that the same bytes are read each time.
  let state = 1
  const bytes = Uint8Array.from({ length: SHEET_BYTES }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state >>> 24
  })
  const asUtf8 = new TextDecoder().decode(bytes)
  const asLatin = Array.from(bytes, byte => String.fromCharCode(byte & 0x7f)).join('')
  for (const text of [asUtf8.slice(0, SHEET_BYTES / 3), asLatin]) {
    const tree = parse(text)
    expect(tree.problems.length).toBeGreaterThan(100)
    const once = tidy(text).text
    expect(tidy(once).text).toBe(once)
  }
}, 60_000)
