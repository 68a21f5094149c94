import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { compileSheet } from '../../sheets/open/compiled.ts'
import { open } from '../../sheets/open/open.ts'
import { openSession } from '../../sheets/open/session.ts'
import { pose } from '../../solver/pose.ts'
import { smallHop } from '../support/small-hop.ts'

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

/** Which levers a sheet's targets hang on by the posed search, as texts of names, and which are idle. */
function posed(text: string) {
  const session = openSession(compileSheet(open(text, null)), {})
  const { state, ranges } = session
  const all = [...state.free].map(lever => ranges[lever]!.range)
  const low = Float64Array.from(all, range => range.from)
  const high = Float64Array.from(all, range => range.to)
  const names = [...state.free].map(lever => state.program.model.quantities[state.program.levers[lever]!]!.name)
  const problem = pose(state, all, low, high, [])
  return { session, names, problem, idle: names.filter((_, l) => problem.idle![l]) }
}

// Source: our own contract, by which a parachute opens on the way down; each figure flown at other numbers of the parachutes.
test('no figure that a parachute may not reach changes by a bit with its numbers, and all others may', () => {
  const { session, names } = posed(sheet)
  const { state, ranges } = session
  const { soundReach: reach, words, tape, flights } = state.program
  const late = ['main area', ...LEVERS.map(([name]) => name)].map(name => names.indexOf(name))
  expect(late).not.toContain(-1)
  const at = (share: number): Map<string, number> => {
    const x = Float64Array.from(state.free, (lever, l) => {
      const { from, to } = ranges[lever]!.range
      return from + (late.includes(l) ? share : 0.6) * (to - from)
    })
    state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
    return new Map([...flights[0]!.outputNames].map(([name, slot]) => [name, state.values[slot]!]))
  }
  const [one, two, three] = [at(0.1), at(0.5), at(0.9)]
  const reached: string[] = []
  for (const [name, slot] of flights[0]!.outputNames) {
    const word = reach[tape.row[slot]! * words]!
    if (late.some(l => (word >>> state.free[l]!) & 1)) reached.push(name)
    else expect([name, two.get(name), three.get(name)]).toEqual([name, one.get(name), one.get(name)])
  }
  expect(reached).toContain('touchdown speed')
  expect(reached).toContain('opening q of main')
  for (const name of ['apoapsis', 'peak g', 'max q', 'burnout speed of booster', 'ascent crew margin'])
    expect(reached).not.toContain(name)
})

test('a lever that may make a faulty parachute is one that the ascent hangs on: such a vehicle does not fly', () => {
  const ascent = hop.slice(0, hop.indexOf('must ')).concat('must apoapsis at least 40 km\n')
  expect(posed(ascent).idle).toEqual(['main area'])
  for (const [sound, faulty] of [
    ['canopy area      = main area', 'canopy area      = main area - 81 m^2'],
    ['canopy area      = main area', 'canopy area      = 1 m * sqrt(main area - 81 m^2)'],
    ['canopy area      = main area', 'canopy area      = 1 m^4 / (main area - 100 m^2)'],
    ['opening altitude = 2.5 km', 'opening altitude = 2.5 km + 1 km * ln(main area / 100 m^2 - 0.8)'],
    ['fill time        = 2 s', 'fill time        = (main area - 100 m^2) * 1 s/m^2'],
    ['safe q           = 2 kPa', 'safe q           = (main area - 80 m^2) * 1 kPa/m^2'],
  ] as const)
    expect([faulty, posed(ascent.replace(sound, faulty)).idle]).toEqual([faulty, []])
})

test('nothing is known beforehand of a parachute that hangs on another flight', () => {
  const probe = smallHop('60 kg', null, 'probe')
  const two = `${hop.slice(0, hop.indexOf('must '))}${probe}must apoapsis of hop at least 40 km\n`
  expect(posed(two).idle).toEqual(['main area'])
  const hangs = 'canopy area      = main area + 0 m * apoapsis of probe'
  expect(posed(two.replace('canopy area      = main area', hangs)).idle).toEqual([])
})

test('a sheet whose parachutes are sound at some settings only is solved there', () => {
  const reefed = `fact full load = 120 kg
lever burn load from 50 kg to 120 kg in steps of 1 kg
lever reefing from 0 m^2 to 40 m^2 in steps of 1 m^2
${smallHop('burn load', '15 m^2 - reefing')}must apoapsis at least 25 km
`
  const { outcome, quantities } = openSheet(reefed).solve()
  expect(outcome).toBe('solved')
  expect(quantities.reefing!.si).toBeLessThanOrEqual(15)
})
