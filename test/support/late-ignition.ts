import { compileSheet } from '../../sheets/open/compiled.ts'
import { open } from '../../sheets/open/open.ts'
import { openSession } from '../../sheets/open/session.ts'
import { pose } from '../../solver/pose.ts'
import type { SearchProblem } from '../../solver/search/problem.ts'
import { sequence } from './vehicles.ts'

/**
 * A sheet of two stages, the second lit as late as minutes after the first is dropped: figures jump where it comes too late. With a lever for the
 * wait and one for the second load, and with `cap` one more for the first stage's cap.
 */
export function lateIgnition(seed: number, cap: boolean): string {
  const next = sequence(seed)
  const pick = (from: number, to: number, digits = 0): string => (from + (to - from) * next()).toFixed(digits)
  const some = (share: number, lines: readonly string[]): readonly string[] => lines.filter(() => next() < share)
  const aims = ['least second load', 'most apoapsis', 'roomiest', 'most wait', 'least max q', 'least gravity loss']
  return `
lever wait from 0 s to ${pick(60, 300)} s in steps of ${cap ? 20 : 10} s
lever second load from 40 % to 100 % in steps of ${cap ? 20 : 15} %
${cap ? 'lever cap from 50 % to 100 % in steps of 25 %' : 'fact cap = 0.9'}
flight climb from Earth
  stage booster
    dry mass         = ${pick(30, 70)} kg
    propellant mass  = ${pick(60, 200)} kg
    vacuum thrust    = ${pick(12, 30, 1)} kN
    sea level thrust = 11 kN
    specific impulse = 230 s
    reference area   = 0.06 m^2
    drag coefficient = 0.4
    throttle cap     = cap
  stage dart
    dry mass         = ${pick(10, 25)} kg
    propellant mass  = second load * ${pick(20, 60)} kg
    vacuum thrust    = ${pick(2, 8, 1)} kN
    specific impulse = 250 s
    reference area   = 0.02 m^2
    drag coefficient = 0.3
    ignition delay   = wait
must apoapsis at least ${pick(30, 160)} km
${some(0.6, [`must max q at most ${pick(60, 200)} kPa`]).join('\n')}
${some(0.4, [
  `should apoapsis time at most ${pick(120, 400)} s`,
  `should burnout altitude of dart at least ${pick(20, 100)} km`,
  `should max speed within ${pick(300, 900)} m/s to ${pick(901, 2000)} m/s`,
  `could peak g at most ${pick(6, 14)} g0`,
]).join('\n')}
aim ${aims[Math.floor(next() * aims.length)]}
`
}

/** The search of a sheet over the whole ranges of its levers. */
export function searchOf(text: string): SearchProblem {
  const reading = open(text, null)
  // What a sheet is faulty in is left out of it: no test would ask what it seems to.
  const faults = reading.opened.problems.filter(({ severity }) => severity === 'error').map(({ message }) => message)
  if (faults.length > 0) throw new Error(faults.join('\n'))
  const session = openSession(compileSheet(reading), {})
  const ranges = [...session.state.free].map(lever => session.ranges[lever]!.range)
  const [low, high] = [Float64Array.from(ranges, range => range.from), Float64Array.from(ranges, range => range.to)]
  return pose(session.state, ranges, low, high, [])
}
