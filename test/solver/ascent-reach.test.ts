import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { compileSheet } from '../../sheets/open/compiled.ts'
import { open } from '../../sheets/open/open.ts'
import { openSession } from '../../sheets/open/session.ts'
import { leversAt } from '../../solver/index.ts'

const hop = readFileSync('sheets/examples/crewed-hop.loft', 'utf8')
/** All that a parachute is given is a lever here. */
const LEVERS = [
  ['drogue area', '4 m^2', '9 m^2'],
  ['drogue altitude', '5 km', '9 km'],
  ['main altitude', '2 km', '3 km'],
  ['main fill', '1 s', '4 s'],
  ['main q', '1 kPa', '4 kPa'],
  ['main speed', '30 m/s', '90 m/s'],
] as const
const sheet = `${LEVERS.map(([name, from, to]) => `lever ${name} from ${from} to ${to}\n`).join('')}${hop}`
  .replace('canopy area      = 6 m^2', 'canopy area      = drogue area')
  .replace('opening altitude = 7 km', 'opening altitude = drogue altitude')
  .replace('opening altitude = 2.5 km', 'opening altitude = main altitude')
  .replace('fill time        = 2 s', 'fill time        = main fill')
  .replace('safe q           = 2 kPa', 'safe q           = main q\n    safe speed       = main speed')

// Source: our own contract, by which a parachute opens on the way down; each figure flown at other numbers of the parachutes.
test('no figure that a parachute may not reach changes by a bit with its numbers, and all others may', () => {
  const session = openSession(compileSheet(open(sheet, null)), {})
  const { state } = session
  const { program } = state
  const names = program.levers.map(id => program.model.quantities[id]!.name)
  const late = new Set(['main area', ...LEVERS.map(([name]) => name)].map(name => names.indexOf(name)))
  expect(late.has(-1)).toBe(false)
  const ranges = [...state.free].map(lever => session.ranges[lever]!.range)
  const at = (share: number): Map<string, number> => {
    const x = Float64Array.from(
      ranges,
      ({ from, to }, l) => from + (late.has(state.free[l]!) ? share : 0.6) * (to - from),
    )
    state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
    return new Map([...program.flights[0]!.outputNames].map(([name, slot]) => [name, state.values[slot]!]))
  }
  const [one, two, three] = [at(0.1), at(0.5), at(0.9)]
  const reached: string[] = []
  for (const [name, slot] of program.flights[0]!.outputNames) {
    const may = leversAt(program, slot).some(lever => late.has(lever))
    if (may) reached.push(name)
    else expect([name, two.get(name), three.get(name)]).toEqual([name, one.get(name), one.get(name)])
  }
  expect(reached).toContain('touchdown speed')
  expect(reached).toContain('opening q of main')
  for (const name of ['apoapsis', 'peak g', 'max q', 'burnout speed of booster', 'ascent crew margin'])
    expect(reached).not.toContain(name)
})
