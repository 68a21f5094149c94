import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { BODY_SLOTS, FLIGHT_SLOTS, PARACHUTE_SLOTS, type SlotEntry, STAGE_SLOTS } from '../../sheets/open/slots.ts'

/** Lines that are right, but for one that takes its value from a quantity that is wrong itself. */
const WRONG = 'fact wrong = 5 kgg'
const RIGHT: Readonly<Record<string, string>> = {
  radius: '3000 km',
  'surface gravity': '3 m/s^2',
  'dry mass': '100 kg',
  'canopy area': '3 m^2',
  'opening altitude': '2 km',
}

/** The lines that a block needs, with `slot` among them where it is the block's. */
function lines(by: number, needed: readonly string[], slot: string | null): string {
  const names = new Set(slot === null ? needed : [...needed, slot])
  return [...names].map(name => `${' '.repeat(by)}${name} = ${name === slot ? 'wrong' : RIGHT[name]}\n`).join('')
}

function sheetWith(block: string, slot: string): string {
  const mine = (name: string): string | null => (name === block ? slot : null)
  return `${WRONG}
body Rock
${lines(2, ['radius', 'surface gravity'], mine('body'))}flight hop from Rock
${lines(2, [], mine('flight'))}  stage one
${lines(4, ['dry mass'], mine('stage'))}  stage two
    dry mass = 10 kg
  parachute main
${lines(4, ['canopy area', 'opening altitude'], mine('parachute'))}must apoapsis at least 3 km
`
}

const BLOCKS: readonly (readonly [string, readonly SlotEntry[]])[] = [
  ['body', BODY_SLOTS],
  ['flight', FLIGHT_SLOTS],
  ['stage', STAGE_SLOTS],
  ['parachute', PARACHUTE_SLOTS],
]

describe.each(BLOCKS)('a %s', (block, slots) => {
  test.each(slots.filter(({ tableOf }) => tableOf === undefined).map(({ name }) => name))(
    'whose %s is a quantity that is wrong itself is no crash, and the quantity alone is told of first',
    slot => {
      const { problems, solve } = openSheet(sheetWith(block, slot), { name: 'lost.loft' })
      expect(problems[0]).toMatchObject({ line: 1, message: 'There is no unit kgg.' })
      expect(solve().outcome).toBe('faulty')
    },
  )
})
