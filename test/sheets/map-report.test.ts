import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { widthOf } from '../../grammar/width.ts'
import { openSheet } from '../../sheets/index.ts'
import { DRAWN, TYPED, typedText } from '../../sheets/report/characters.ts'
import { mapReport } from '../../sheets/report/map-report.ts'
import { mapTable } from '../../sheets/report/map-table.ts'
import { print, respelled } from '../../sheets/report/marked.ts'

const text = readFileSync('sheets/examples/heron.loft', 'utf8')
const map = openSheet(text).map()

describe('the map in characters', () => {
  test.each([80, 60])('of the Heron sheet at %i columns is as it was', async width => {
    const page = print(mapReport(map, 'heron.loft', { width, characters: DRAWN }))
    await expect(page).toMatchFileSnapshot(`golden/map-${width}.txt`)
    for (const line of page.split('\n')) expect(widthOf(line)).toBeLessThanOrEqual(width)
  })

  test('of a conflict says that there is no such place', () => {
    const hard = openSheet(text.replace('6 g0', '5 g0').replace('should apoapsis', 'must apoapsis')).map()
    const page = print(mapReport(hard, 'heron.loft', { width: 80, characters: DRAWN }))
    expect(page).toContain('Nowhere on this map is every must met.')
    expect(page).toContain('◇ the closest compromise, not a setting to fly: fuel fraction 94 %,')
  })

  test('has letters that every terminal reads', () => {
    const page = print(respelled(mapReport(map, 'heron.loft', { width: 80, characters: TYPED }), typedText))
    expect(page).toMatch(/^[\n\x20-\x7e]+$/)
  })
})

test('the table of a map holds every place of it, in the levers’ own units', () => {
  const [head, ...rows] = mapTable(map)
  expect(head).toEqual(['part', 'of', 'piece', 'fuel fraction [%]', 'throttle cap [%]'])
  const places = (part: string) => rows.filter(row => row[0] === part)
  expect(places('region').length).toBe(map.region.flat().length)
  expect(places('line').length).toBe(map.lines.flatMap(line => line.points).length)
  expect(new Set(places('line').map(row => row[1]))).toContain('apoapsis within 100 km to 110 km, high end')
  const [solution] = places('solution')
  expect(solution!.slice(3).map(Number)).toEqual([92, 61])
})
