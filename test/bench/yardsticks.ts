import { execFileSync, spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { EARTH, fly } from '../../solver/flight/index.ts'
import { FLOWN } from '../../solver/flight/plan.ts'
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
import { median } from './ratio.ts'

const ROOM = 'test/bench/yardstick'
/** The marks were set by a plain flight in C++ of so many right-hand sides, which took 13 µs, and by a solve of SciPy's with so many flights, which took 85 ms. */
const SIDES = 380
const FLIGHTS = 18

/** Tools in other languages than ours, where the machine has them: what ours is measured by in the same run. */
export interface Yardsticks {
  /** A plain flight in C++ at a load and cap, so many times: nanoseconds each, right-hand sides, apoapsis [m]. None without a compiler. */
  readonly bare: ((load: number, cap: number, flights: number) => readonly [number, number, number]) | null
  /** Some solves without steps by SciPy: milliseconds, flights, load and cap of each. None without SciPy. */
  readonly optimiser: ((solves: number) => readonly (readonly [number, number, number, number])[]) | null
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

type Row = (what: string, figure: string, mark: string) => void

/** Prints what a flight takes over a plain one in C++, turn by turn, and how far the two agree. */
export function benchBare(row: Row, { bare }: Yardsticks): void {
  const what = '… over a bare Dormand–Prince 5(4) at 1e-9 in C++ -O3'
  if (!bare) {
    row(what, 'not measured', '≤ 0.9 ×; needs a C++ compiler (c++)')
    return
  }
  const plans = Array.from({ length: 100 }, (_, n) => heron(0.92, 0.6 + n * 1e-4))
  const ours = (flights: number): number => {
    const before = performance.now()
    for (let k = 0; k < flights; k++) fly(plans[k % 100]!, [], 'tight')
    return ((performance.now() - before) * 1e6) / flights
  }
  ours(4000)
  const turns = Array.from({ length: 41 }, () => [ours(200), ...bare(0.92, 0.6, 200)] as const)
  const over = median(turns.map(([own, theirs]) => own / theirs))
  const [, , sides, apoapsis] = turns[0]!
  const own = fly(heron(0.92, 0.6), [], 'tight').figures[FLOWN.indexOf('apoapsis')]!
  row(what, `${over.toFixed(2)} ×`, '≤ 0.9 ×')
  row('… which makes so many right-hand sides', sides.toFixed(0), '')
  row(`… over ${SIDES} of them`, `${((over * sides) / SIDES).toFixed(2)} ×`, '≤ 0.9 ×')
  row('… apoapsis, ours (with air above 86 km) over that one', `1 ${signed(own / apoapsis - 1)}`, '')
  const now = median(turns.map(([, nanoseconds]) => nanoseconds)) * (SIDES / sides)
  row(
    `this machine now: ${SIDES} of those right-hand sides`,
    `${(now / 1000).toFixed(1)} µs`,
    '13 µs when the marks were set',
  )
}

/** Prints how much sooner a solve is done than SciPy does it, turn by turn. */
export function benchOptimiser(row: Row, { optimiser }: Yardsticks, solve: () => readonly [number, number]): void {
  const what = '… faster than SciPy’s SLSQP over its RK45, without steps'
  if (!optimiser) {
    row(what, 'not measured', '≥ 40 ×; needs python3 with SciPy')
    return
  }
  const turns = Array.from({ length: 5 }, () => {
    const theirs = optimiser(4)
    const ours = Array.from({ length: 100 }, () => {
      const before = performance.now()
      solve()
      return performance.now() - before
    })
    return [median(theirs.map(([time]) => time)) / median(ours), theirs[0]!] as const
  })
  const [, flights, load, cap] = turns[0]![1]
  const settled = solve()
  const sooner = median(turns.map(([times]) => times))
  row(what, `${sooner.toFixed(0)} ×`, '≥ 40 ×')
  row(`… by ${FLIGHTS} of its flights`, `${((sooner * FLIGHTS) / flights).toFixed(0)} ×`, '≥ 40 ×')
  row(
    '… its flights, its settings and ours (in steps)',
    `${flights}; ${settings([load, cap])}; ${settings(settled)}`,
    '',
  )
}

function settings(pair: readonly [number, number]): string {
  return pair.map(value => `${(100 * value).toFixed(1)} %`).join(', ')
}

function signed(value: number): string {
  return `${value < 0 ? '−' : '+'} ${Math.abs(value).toExponential(0)}`
}
