import { expect, test } from 'vitest'
import { widthOf } from '../../grammar/width.ts'
import { DRAWN, TYPED, typedText } from '../../sheets/report/characters.ts'
import { print, respelled } from '../../sheets/report/marked.ts'
import { solveReport } from '../../sheets/report/solve-report.ts'
import { conflict, escaping, heron, noLevers, unsure, zeroLimit } from './answers.ts'

const answers = { heron, conflict, escaping, zeroLimit, noLevers, unsure }

for (const [name, answer] of Object.entries(answers)) {
  for (const width of [80, 60]) {
    test(`the page of ${name} at ${width} columns is as it was`, async () => {
      const text = print(solveReport(answer, `${name}.loft`, { width, characters: DRAWN }))
      await expect(text).toMatchFileSnapshot(`golden/${name}-${width}.txt`)
    })
  }
}

test('no line is wider than the page but one that holds a single long name', () => {
  for (const answer of Object.values(answers)) {
    for (const width of [40, 47, 60, 79, 80, 100]) {
      const wide = print(solveReport(answer, 'sheet.loft', { width, characters: DRAWN }))
        .split('\n')
        .filter(line => widthOf(line) > width)
        .filter(line => !/a figure with a rather long name/.test(line))
      expect(wide, `${answer.sheet} at ${width}`).toEqual([])
    }
  }
})

test('a terminal without UTF-8 gets letters it has', () => {
  const text = print(respelled(solveReport(heron, 'heron.loft', { width: 80, characters: TYPED }), typedText))
  expect(text).toMatch(/^[\n\x20-\x7e]+$/)
  expect(text).toContain('///////////|==*---')
})

test('ink goes around words of a state, and never around blanks', () => {
  const text = print(solveReport(heron, 'heron.loft'), (words, ink) => `<${ink}:${words}>`)
  expect(text).toContain('<strong:92 %>')
  expect(text).toContain('<limit:at its limit, 0.013 g0 of room>')
  expect(text).toContain('<room:━━>')
  expect(text).not.toMatch(/<\w+: *>/)
  const short = print(solveReport(conflict, 'heron.loft'), (words, ink) => `<${ink}:${words}>`)
  expect(short).toContain('<short:Conflict: these three cannot all be met.>')
  expect(short).toContain('<short:╳>')
})

test('cautions stand wherever settings are given, and nowhere else', () => {
  const text = (answer: typeof heron) => print(solveReport(answer, 'sheet.loft'))
  for (const answer of [heron, escaping, zeroLimit]) expect(text(answer)).toContain('range\nsafety officer decide')
  for (const answer of [noLevers, conflict, unsure]) expect(text(answer)).not.toContain('safety officer')
})

test('nothing printed is ever NaN or undefined', () => {
  for (const answer of Object.values(answers)) {
    expect(print(solveReport(answer, 'sheet.loft'))).not.toMatch(/NaN|undefined|Infinity|\[object/)
  }
})
