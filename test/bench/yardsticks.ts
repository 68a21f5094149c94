import { execFileSync, spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { EARTH } from '../../solver/flight/index.ts'
import { geometric, inLayer } from '../../solver/flight/us76.ts'
import {
  GAS_CONSTANT,
  LAYERS,
  MOLECULAR_WEIGHT,
  SEA_LEVEL_PRESSURE,
  UPPER_START,
} from '../../solver/flight/us76-data.ts'
import { curveAt } from '../../solver/model/curve.ts'
import { ownFolder } from '../support/folders.ts'
import { heron } from './heron.ts'

const ROOM = 'test/bench/yardstick'
/** A plain flight in C++ at a load and cap, so many times: nanoseconds each, right-hand sides, apoapsis [m]. */
export type Bare = (load: number, cap: number, flights: number) => readonly [number, number, number]

/** Some solves without steps by SciPy: milliseconds, flights, load and cap of each. */
export type Optimiser = (solves: number) => readonly (readonly [number, number, number, number])[]

/** Tools in other languages than ours, where the machine has them: what ours is measured by in the same run. */
export interface Yardsticks {
  /** None without a compiler. */
  readonly bare: Bare | null
  /** None without SciPy. */
  readonly optimiser: Optimiser | null
}

/** Makes them ready. */
export function yardsticks(): Yardsticks {
  const program = join(ownFolder('yardsticks'), 'bare')
  const compiled = spawnSync('c++', ['-O3', '-o', program, `${ROOM}/bare.cpp`], { stdio: 'ignore' }).status === 0
  const scipy = spawnSync('python3', ['-c', 'import scipy'], { stdio: 'ignore' }).status === 0
  const run = (command: string, words: readonly string[], input: string): number[][] =>
    execFileSync(command, words, { input, encoding: 'utf8' })
      .trim()
      .split('\n')
      .map(line => line.split(' ').map(Number))
  return {
    bare: compiled
      ? (load, cap, flights) => run(program, [], `${given(load, cap)}\n50\n${flights}\n`)[1] as [number, number, number]
      : null,
    optimiser: scipy
      ? solves =>
          run('python3', [`${ROOM}/optimiser.py`], `${given(1, 1)}\n${'\n'.repeat(solves + 1)}`).slice(1) as [
            number,
            number,
            number,
            number,
          ][]
      : null,
  }
}

/** The Heron at a load and cap, and its air, in the order that both programs read. */
function given(load: number, cap: number): string {
  const stage = heron(load, cap).stages[0]!
  const layers = LAYERS.map(({ base, temperature, lapse }, k) => [
    base,
    temperature,
    lapse,
    inLayer(k, geometric(base)).pressure,
  ])
  return [
    [stage.dryMass, stage.propellantMass, stage.vacuumThrust, stage.seaLevelThrust, stage.exhaustSpeed, cap],
    [
      stage.referenceArea * curveAt(stage.drag, 0),
      EARTH.radius,
      9.80665,
      SEA_LEVEL_PRESSURE,
      GAS_CONSTANT / MOLECULAR_WEIGHT,
    ],
    [UPPER_START, layers.length, ...layers.flat()],
  ]
    .flat()
    .join(' ')
}
