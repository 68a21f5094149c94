import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { flightPicture } from '../../sheets/picture/flight-picture.ts'
import { mapPicture } from '../../sheets/picture/map-picture.ts'
import { PAPER } from '../../sheets/picture/theme.ts'
import { piece, print } from '../../sheets/report/marked.ts'
import { solveReport } from '../../sheets/report/solve-report.ts'
import { picture } from '../support/picture.ts'

const readme = readFileSync('README.md', 'utf8')

test('the picture in the README is what the program prints', async () => {
  const answer = openSheet(readFileSync('sheets/examples/heron.loft', 'utf8')).solve()
  // The time taken is no part of the picture.
  const lines = solveReport(answer, 'heron.loft').slice(0, -2)
  const command = [piece('$ loftsheet solve heron.loft')]
  await expect(picture([command, [], ...lines])).toMatchFileSnapshot('../../sheets/examples/heron.svg')
})

test('the sheet in the README is the example’s own', () => {
  const shown = /```\n(sheet "Heron[\s\S]*?)```/.exec(readme)![1]!.trimEnd().split('\n')
  const whole = readFileSync('sheets/examples/heron.loft', 'utf8').split('\n')
  for (const line of shown) if (line !== '…') expect(whole).toContain(line)
})

test('the lines for a program in the README run', () => {
  const text = readFileSync('sheets/examples/heron.loft', 'utf8')
  const sheet = openSheet(text)
  expect(sheet.problems).toEqual([])
  expect(sheet.solve().outcome).toBe('solved')
  expect(sheet.at({ 'fuel fraction': 0.9, 'throttle cap': 0.6 }).apoapsis).toBeGreaterThan(9e4)
  for (const call of ['openSheet(text)', 'sheet.solve()', "sheet.at({ 'fuel fraction': 0.9, 'throttle cap': 0.6 })"])
    expect(readme).toContain(call)
})

test('the drawings in the README are what the program draws', async () => {
  const sheet = openSheet(readFileSync('sheets/examples/heron.loft', 'utf8'))
  const answer = sheet.solve()
  const map = mapPicture({ map: sheet.map(), answer, theme: PAPER, source: `heron.loft: ${answer.sheet}` })
  await expect(map.svg).toMatchFileSnapshot('../../sheets/examples/heron-map.svg')
  const settings = 'Fuel fraction 92 %, throttle cap 61 %.'
  const flight = flightPicture({
    title: answer.sheet,
    settings,
    flight: sheet.fly(),
    targets: answer.targets,
    theme: PAPER,
  })
  await expect(flight.svg).toMatchFileSnapshot('../../sheets/examples/heron-flight.svg')
})

test('the conflict in the README is what the program says', () => {
  const hard = readFileSync('sheets/examples/heron.loft', 'utf8')
    .replace('6 g0', '5 g0')
    .replace('should apoapsis', 'must apoapsis')
  const page = print(solveReport(openSheet(hard).solve(), 'heron.loft'))
  const shown = /```\n(Conflict:[\s\S]*?)```/.exec(readme)![1]!
  expect(page).toContain(shown.trimEnd())
})
