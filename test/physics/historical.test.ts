import { describe, expect, test } from 'vitest'
import { type Answer, openSheet } from '../../sheets/index.ts'
import { AEROBEE, MR3, MR4, type Published } from '../outside/documented-flights.ts'

function solved(text: string): Answer {
  const sheet = openSheet(text)
  expect(sheet.problems.filter(problem => problem.severity === 'error')).toEqual([])
  const answer = sheet.solve()
  expect(answer.outcome).toBe('solved')
  return answer
}

function expectNear(answer: Answer, figures: Published): void {
  for (const [name, [published, within]] of Object.entries(figures)) {
    const found = answer.quantities[name]!.si as number
    expect(Math.abs(found / published - 1), `${name}: ${found} for ${published}`).toBeLessThan(within)
  }
}

describe('the crewed suborbital flights of 1961', () => {
  test('MR-3 feels 6 g up and 11 g down, and lands after 15 minutes', () => {
    const answer = solved(MR3.sheet)
    expectNear(answer, MR3.published)
    // 2.295 km/s was told in a frame that does not turn with the Earth: over the ground it is some 2.0 (computed).
    expectNear(answer, { 'burnout speed': [2040, 0.04] })
    // Both fell within what the standard allows a rider in good condition (and less after long weightlessness).
    expect(answer.quantities['ascent crew margin']!.si as number).toBeGreaterThan(1)
  })

  test('MR-4 likewise', () => expectNear(solved(MR4.sheet), MR4.published))
})

describe('sounding rockets', () => {
  test('the Aerobee 150 takes 68 kg to 274 km', () => {
    const answer = solved(AEROBEE.sheet)
    expectNear(answer, AEROBEE.published)
    expect(answer.quantities.apoapsis!.si as number).toBeGreaterThan(274e3)
  })

  // The V-2 at White Sands: standard histories (from memory), 8,750 kg of propellants, some 4,000 kg empty with a payload of a ton, 56,000 lbf at sea level.
  // Its flights reached 114 km (10 May 1946), 161 km (7 March 1947) and at most 213 km (22 August 1951); they leaned by some degrees and mostly burnt out early.
  test('the V-2, flown straight up to the last drop, comes between its usual and its highest flights', () => {
    const answer = solved(`table slender drag of mach
  0 0.2
  0.8 0.22
  1.1 0.4
  1.5 0.34
  2 0.26
  3 0.2
  6 0.15
flight climb from Earth
  launch altitude  = 1.2 km
  dry mass         = 4000 kg
  propellant mass  = 8750 kg
  vacuum thrust    = 285 kN
  sea level thrust = 249 kN
  rated burn time  = 69 s
  diameter         = 1.651 m
  drag coefficient = slender drag(mach)
`)
    expect(answer.quantities.apoapsis!.si as number).toBeGreaterThan(161e3)
    expect(answer.quantities.apoapsis!.si as number).toBeLessThan(213e3)
    // Mass flow 125 to 127 kg/s (standard histories).
    expectNear(answer, { 'burn time': [8750 / 126, 0.02] })
  })
})
