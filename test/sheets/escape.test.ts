import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'

/** From the Moon, whose escape speed is 2,376 m/s (common knowledge, from memory), this escapes with more than some 13 kg of propellant. */
const HOP = `
fact thrust = 200 N
lever propellant mass from 1 kg to 60 kg in steps of 1 kg
flight hop from Moon
  dry mass = 10 kg
  propellant mass = propellant mass
  vacuum thrust = thrust
  specific impulse = 300 s
must apoapsis at least 5 km
should burn time at most 250 s
aim most apoapsis
`

/** Every setting flown, with no search. */
function flown(text: string, kilograms: readonly number[]) {
  const sheet = openSheet(text)
  return kilograms.map(kg => {
    const { apoapsis, 'burn time': burn } = sheet.at({ 'propellant mass': kg }) as Record<string, number>
    return { kg, apoapsis: apoapsis!, burn: burn! }
  })
}

const KILOGRAMS = Array.from({ length: 60 }, (_, k) => k + 1)

test('where the highest flight escapes it is an answer, and no conflict', () => {
  const all = flown(HOP, KILOGRAMS)
  expect(all.some(({ apoapsis }) => apoapsis === Number.POSITIVE_INFINITY)).toBe(true)
  expect(all.some(({ apoapsis }) => apoapsis < 1e6)).toBe(true)
  // Of those that escape and burn no longer than they should the one whose burn has most room.
  const best = all.filter(({ apoapsis, burn }) => apoapsis === Number.POSITIVE_INFINITY && burn <= 250)[0]!
  const answer = openSheet(HOP).solve()
  expect(answer.outcome).toBe('solved')
  expect(answer.quantities['propellant mass']!.si).toBe(best.kg)
  expect(answer.quantities.apoapsis!.si).toBe('infinity')
})

test('where no flight within its limits escapes the highest is the answer', () => {
  const text = HOP.replace('at most 250 s', 'at most 60 s')
  const best = flown(text, KILOGRAMS)
    .filter(({ burn }) => burn <= 60)
    .at(-1)!
  expect(best.apoapsis).toBeLessThan(1e6)
  expect(openSheet(text).solve().quantities['propellant mass']!.si).toBe(best.kg)
})

test('variants that escape are solved, from whichever answer they start', () => {
  const rows = [...openSheet(`${HOP}variants\n  each thrust over 100 N, 200 N, 400 N\n`).variants()]
  expect(rows.map(row => row.outcome)).toEqual(['solved', 'solved', 'solved'])
  for (const row of rows) {
    const alone = openSheet(HOP).solve({ set: { thrust: row['thrust [N]'] as number } })
    expect(row['propellant mass [kg]']).toBe(alone.quantities['propellant mass']!.si)
  }
})
