import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'

const MOTOR = `vacuum thrust = 17.5 kN
sea level thrust = 15.4 kN
specific impulse = 242 s
reference area = 0.125 m^2
drag coefficient = 0.42
dry mass = 165 kg
propellant mass = fuel * 300 kg
throttle cap = cap`
const LEVERS = `lever fuel from 30 % to 100 % in steps of 1 %
lever cap from 30 % to 100 % in steps of 1 %`
const CURVE = `table push of time
  0 s, 20 kN
  1 s, 18 kN
  30 s, 15 kN
  60 s, 0 N`

/** The same rocket told twice: with its slots in the flight, and in the flight's only stage. */
function sheets(ways: { rail: boolean; chute: boolean; curve: boolean }, targets: readonly string[]): [string, string] {
  const motor = ways.curve ? MOTOR.replace(/vacuum thrust.*\nsea level thrust.*/, 'thrust curve = push') : MOTOR
  const own = ways.rail ? '  rail elevation = 84 deg\n  rail length = 6 m\n' : ''
  const chute = ways.chute ? '  parachute main\n    canopy area = 30 m^2\n    opening altitude = 3 km\n' : ''
  const slots = (by: string): string => motor.replace(/^/gm, by)
  const tail = `${targets.join('\n')}\naim least fuel\n`
  const head = `${LEVERS}\n${ways.curve ? `${CURVE}\n` : ''}flight hop from Earth\n`
  return [
    `${head}${own}${slots('  ')}\n${chute}${tail}`,
    `${head}${own}  stage only\n${slots('    ')}\n${chute}${tail}`,
  ]
}

const answered = (text: string) => {
  const { outcome, quantities, targets, aims } = openSheet(text, { name: 'one.loft' }).solve()
  const settings = ['fuel', 'cap'].map(name => quantities[name]!.text)
  return { outcome, settings, targets: targets.map(({ text: words, met }) => [words, met]), aims }
}

describe('a flight of one stage', () => {
  const limits = fc.tuple(fc.constantFrom(3, 4, 5, 6, 7), fc.constantFrom(30, 50, 70, 90), fc.constantFrom(20, 50, 80))
  const ways = fc.record({ rail: fc.boolean(), chute: fc.boolean(), curve: fc.boolean() })

  test('is answered alike with and without a block for it, and a must of a solved sheet is met', () => {
    fc.assert(
      fc.property(ways, limits, (way, [peak, dynamic, height]) => {
        const targets = [
          'must liftoff ratio at least 1.5',
          `must peak g at most ${peak} g0`,
          `must max q at most ${dynamic} kPa`,
          `should apoapsis at least ${height} km`,
        ]
        const [plain, staged] = sheets(way, targets).map(answered)
        expect(staged).toEqual(plain)
        if (plain!.outcome === 'solved')
          for (const [words, met] of plain!.targets) if (!/apoapsis/.test(String(words))) expect(met).toBe(true)
      }),
      { numRuns: 25 },
    )
  })
})
