import { flyThrough, TOLERANCES } from '../../solver/flight/fly.ts'
import { fly } from '../../solver/flight/index.ts'
import { type Direction, FLOWN, type Plan, type StageNumbers } from '../../solver/flight/plan.ts'
import { constantCurve } from '../../solver/model/curve.ts'
import { bareFlight } from './bare-flight.ts'
import { heron } from './heron.ts'
import { median, type Probe, row, type Times, timed, turns } from './rounds.ts'
import type { Bare } from './yardsticks.ts'

const still: StageNumbers = {
  dryMass: 0,
  propellantMass: 0,
  vacuumThrust: 0,
  seaLevelThrust: 0,
  exhaustSpeed: 0,
  throttleCap: 0,
  referenceArea: 0,
  drag: constantCurve(0),
}
const BY_LEVERS: readonly Direction[] = [
  { launchAltitude: 0, stages: [{ ...still, propellantMass: 300 }] },
  { launchAltitude: 0, stages: [{ ...still, throttleCap: 1 }] },
]

/** The marks were set by a plain flight in C++ of so many right-hand sides, which took 13 µs. */
const SIDES = 380

/** Herons whose caps differ by a little each, taken in turn: nothing can be worked out once for all. */
export const HERONS = Array.from({ length: 100 }, (_, n) => heron(0.92, 0.6 + n * 1e-4))

/** A work done for one plan after the other, so many at a time. */
export function forEach<T>(plans: readonly T[], many: number, work: (plan: T) => void): () => void {
  let k = 0
  return () => {
    for (let n = 0; n < many; n++) work(plans[k++ % plans.length]!)
  }
}

/** What a flight costs: plain, with two levers' derivatives, and against plain integrators that find nothing. */
export function quickAscents(bare: Bare | null): readonly Probe[] {
  const works = {
    plain: forEach(HERONS, 20, plan => void fly(plan, [], 'tight')),
    slopes: forEach(HERONS, 20, plan => void fly(plan, BY_LEVERS, 'tight')),
    bare: forEach(HERONS, 20, bareFlight),
  }
  turns(works, 300)
  const { sides, steps } = quickWork(HERONS[0]!)
  const ascents: Probe = {
    look: () => turns(works, 60),
    rows: times => [
      row('one Heron flight, tight, all figures', times.plain! * 50, 1, 'µs'),
      row('Heron flights a second', 20_000 / times.plain!, 0, ''),
      row('… its right-hand sides', sides, 0, ''),
      row('… its steps', steps, 0, ''),
      row('… one right-hand side, all told', (times.plain! * 50_000) / sides, 0, 'ns'),
      row('… with exact derivatives for two levers', times.slopes! / times.plain!, 2, '×', ['at most', 2]),
      row('… over a bare Dormand–Prince 5(4) at 1e-9 in TypeScript', times.plain! / times.bare!, 2, '×'),
    ],
  }
  const what = '… over a bare Dormand–Prince 5(4) at 1e-9 in C++ -O3'
  if (!bare) return [ascents, { look: () => ({}), rows: () => [{ what, figure: 'needs a C++ compiler (c++)' }] }]
  const [, theirSides, theirs] = bare(0.92, 0.6, 1)
  const ours = fly(heron(0.92, 0.6), [], 'tight').figures[FLOWN.indexOf('apoapsis')]!
  const compared: Probe = {
    look: () =>
      turnsWith(
        bare,
        forEach(HERONS, 200, plan => void fly(plan, [], 'tight')),
        9,
      ),
    rows: times => {
      const over = times.ours! / times.theirs!
      return [
        row(what, over, 2, '×', ['at most', 0.9]),
        row('… which makes so many right-hand sides', theirSides, 0, ''),
        row(`… over ${SIDES} of them`, (over * theirSides) / SIDES, 2, '×'),
        { what: '… apoapsis, ours (with air above 86 km) over that one', figure: `1 ${signed(ours / theirs - 1)}` },
        row(
          `${SIDES} of those right-hand sides (13 µs when marks were set)`,
          (times.theirs! * 5 * SIDES) / theirSides,
          1,
          'µs',
        ),
      ]
    },
  }
  return [ascents, compared]
}

/** Two hundred flights of ours and of theirs, turn by turn, theirs by their own clock. */
function turnsWith(bare: Bare, own: () => void, count: number): Times {
  const took = Array.from({ length: count }, () => [timed(own), bare(0.92, 0.6, 200)[0] / 5000] as const)
  return { ours: median(took.map(([time]) => time)), theirs: median(took.map(([, time]) => time)) }
}

/** Right-hand sides and steps taken of a quick ascent. */
export function quickWork(plan: Plan): { readonly sides: number; readonly steps: number } {
  let steps = 0
  const step = (): void => void steps++
  const none = (): void => undefined
  const { evaluations } = flyThrough(null, plan, [], TOLERANCES.tight, { step, event: none, end: none })
  return { sides: evaluations, steps }
}

function signed(value: number): string {
  return `${value < 0 ? '−' : '+'} ${Math.abs(value).toExponential(0)}`
}
