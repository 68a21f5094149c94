import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { widthOf } from '../../grammar/width.ts'
import { openSheet } from '../../sheets/index.ts'
import { DRAWN, TYPED, typedText } from '../../sheets/report/characters.ts'
import { print, respelled } from '../../sheets/report/marked.ts'
import { workingReport } from '../../sheets/report/working-report.ts'

const heron = openSheet(readFileSync('sheets/examples/heron.loft', 'utf8'))
const NAMES = ['liftoff ratio', 'peak g', 'max q', 'apoapsis', 'propellant mass', 'throttle cap', 'ideal delta v']

for (const name of NAMES) {
  test(`the working of the Heron's ${name} is as it was`, async () => {
    const text = print(workingReport(heron.working(name), 'heron.loft'))
    await expect(text).toMatchFileSnapshot(`golden/working-${name.replaceAll(' ', '-')}.txt`)
  })
}

test('no line of a working is wider than the page', () => {
  for (const name of NAMES) {
    const answer = heron.working(name, { deep: 'all' })
    for (const width of [50, 60, 80, 100]) {
      const lines = print(workingReport(answer, 'heron.loft', { width, characters: DRAWN })).split('\n')
      expect(lines.filter(line => widthOf(line) > width)).toEqual([])
    }
  }
})

test('a terminal without UTF-8 gets letters it has, and nothing is ever NaN', () => {
  for (const name of NAMES) {
    const lines = workingReport(heron.working(name, { deep: 'all' }), 'heron.loft', { width: 80, characters: TYPED })
    expect(print(respelled(lines, typedText))).toMatch(/^[\n\x20-\x7e]+$/)
    expect(print(lines)).not.toMatch(/NaN|undefined|Infinity|\[object/)
  }
})
