import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'

const sheet = (motors: string, count: string): string => `fact dry mass = 20 kg
fact propellant mass = 12 kg
fact vacuum thrust = 1 kN
fact specific impulse = 220 s
${motors}
flight hop from Earth
  count = ${count}
must liftoff ratio at least 5
aim most liftoff ratio`

test('a count of motors is a fact, a sum that comes to a whole number, or a lever in whole steps', () => {
  const ratio = (motors: string, count: string): unknown =>
    openSheet(sheet(motors, count)).solve().quantities['liftoff ratio']?.si
  const three = ratio('fact motors = 3', 'motors')
  expect(three).toBeCloseTo(3000 / (32 * 9.80665), 2)
  expect(ratio('fact motors = 6', 'motors / 2')).toBe(three)
  const { outcome, quantities } = openSheet(sheet('lever motors from 1 to 3 in steps of 1', 'motors')).solve()
  expect([outcome, quantities.motors?.value]).toEqual(['solved', 3])
  expect(quantities['liftoff ratio']?.si).toBe(three)
})

test('a count or a pitch of the sheet’s own is no slot of its flight, and may come from the flight', () => {
  const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
  const more = `${heron}figure count = apoapsis / 1 km\nfact pitch = 3 m\n`
  const opened = openSheet(more)
  expect(opened.problems.filter(problem => problem.severity === 'error')).toEqual([])
  expect(opened.check().problems.map(({ message }) => message)).toContain(
    'Nothing reads "pitch": it changes no number of this sheet.',
  )
  const settings = { 'fuel fraction': 0.9, 'throttle cap': 0.6 }
  const values = opened.at(settings)
  expect(values.apoapsis).toBe(openSheet(heron).at(settings).apoapsis)
  expect(values.count).toBeCloseTo(values.apoapsis! / 1000, 9)
})
