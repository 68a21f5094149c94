import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { newMapMemory, openSheet } from '../../sheets/index.ts'
import type { MapAnswer, MapRequest } from '../../sheets/map-answer.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

/** A map without how long it took. */
function drawn(text: string, request: MapRequest, solvedFirst = false): Omit<MapAnswer, 'work'> {
  const sheet = openSheet(text)
  const { set = {} } = request
  if (solvedFirst) sheet.solve({ set })
  const { work, ...map } = sheet.map(request)
  return map
}

/** The Heron sheet with something written over: limits, a fact, a limit that is worked out, a lever's range, another must. */
const change = fc.oneof(
  fc.double({ min: 4, max: 8, noNaN: true }).map(g => heron.replace('6 g0', `${g} g0`)),
  fc.integer({ min: 40, max: 90 }).map(kPa => heron.replace('70 kPa', `${kPa} kPa`)),
  fc.integer({ min: 80, max: 104 }).map(km => heron.replace('100 km', `${km} km`)),
  fc.integer({ min: 140, max: 190 }).map(kg => heron.replace('165 kg', `${kg} kg`)),
  fc.integer({ min: 1, max: 3 }).map(n => heron.replace('6 g0 ', `liftoff ratio * ${n} g0 `)),
  fc.constantFrom(25, 40).map(share => heron.replace('from 30 %', `from ${share} %`)),
  fc.constant(`${heron}\nmust burnout speed at most 1400 m/s\n`),
)
const asked = fc.constantFrom<MapRequest>({ cells: 16 }, { cells: 24 }, { cells: 16, set: { 'drag coefficient': 0.5 } })

test('a map is the same to the last bit whatever its memory holds, and whether the sheet was solved before', () => {
  const memory = newMapMemory()
  fc.assert(
    fc.property(change, asked, fc.boolean(), (text, request, solved) => {
      expect(drawn(text, { ...request, memory }, solved)).toEqual(drawn(text, request))
    }),
    { numRuns: 24 },
  )
})

test('a limit that moves flies few places anew, a fact that moves flies all', () => {
  const memory = newMapMemory()
  const held = (): number =>
    [...memory.flown.values()].flatMap(byFirst => [...byFirst.values()]).reduce((sum, { size }) => sum + size, 0)
  const request = { cells: 48, memory }
  drawn(heron, request)
  const first = held()
  const { of } = memory
  drawn(heron.replace('6 g0', '5.5 g0'), request)
  expect(memory.of).toBe(of)
  expect(held()).toBeGreaterThan(first)
  expect(held()).toBeLessThan(1.2 * first)
  drawn(heron.replace('165 kg', '166 kg'), request)
  expect(memory.of).not.toBe(of)
  expect(held()).toBeLessThan(1.2 * first)
})

test('a number beside an end that is worked out is of what was flown: the row is the distance to both', () => {
  const moved = [
    ['within 100 km to 400 km * fuel fraction', 'within 90 km to 400 km * fuel fraction'],
    ['equal to 110 km * fuel fraction ± 9 km', 'equal to 110 km * fuel fraction ± 3 km'],
    ['equal to 100 km ± 20 km * fuel fraction', 'equal to 95 km ± 20 km * fuel fraction'],
  ] as const
  for (const [before, after] of moved) {
    const memory = newMapMemory()
    const sheet = (limit: string): string => heron.replace(/^should apoapsis.*$/m, `should apoapsis ${limit}`)
    drawn(sheet(before), { cells: 16, memory })
    const map = drawn(sheet(after), { cells: 16, memory })
    expect(map.problems).toEqual([])
    expect(map, after).toEqual(drawn(sheet(after), { cells: 16 }))
  }
})

test('a map takes no place from a search that was stopped, a proved conflict’s closest included', () => {
  const text = `${heron}\nmust propellant mass at most 20 kg\n`
  const sheet = openSheet(text)
  expect(sheet.solve({ watch: () => false }).outcome).toBe('conflict')
  expect(sheet.map({ cells: 8 }).compromise).toEqual(openSheet(text).map({ cells: 8 }).compromise)
})

test('a map that is asked for the place of a stopped answer shows it there, and searches nothing anew', () => {
  const sheet = openSheet(heron)
  const { outcome, quantities, conflict } = sheet.solve({ watch: flights => flights < 3 })
  expect(outcome).toBe('unsure')
  const at = (conflict?.compromise ?? { quantities }).quantities
  const place = (name: string) => at[name]!.si as number
  const map = sheet.map({ cells: 8, stopped: true })
  const shown = map.solution ?? map.compromise!
  expect(map.outcome).toBe('unsure')
  expect(shown[0]).toBeCloseTo(place('fuel fraction'), 12)
  expect(shown[1]).toBeCloseTo(place('throttle cap'), 12)
  expect(sheet.map({ cells: 8 }).outcome).toBe('solved')
})
