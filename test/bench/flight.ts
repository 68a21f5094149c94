import { flyThrough, TOLERANCES } from '../../solver/flight/fly.ts'
import { EARTH, fly } from '../../solver/flight/index.ts'
import { type Direction, FLOWN, type Plan, type StageNumbers } from '../../solver/flight/plan.ts'
import { us76 } from '../../solver/flight/us76.ts'
import { FLIGHT_FIGURES } from '../../solver/flight/whole/figures.ts'
import { flyWhole, flyWholeAt, type Reach } from '../../solver/flight/whole/fly.ts'
import type { WholeStage } from '../../solver/flight/whole/plan.ts'
import { flyStack } from '../../solver/flight/whole/stack.ts'
import { constantCurve } from '../../solver/model/curve.ts'
import { wholeOf } from '../support/whole.ts'
import { heron } from './heron.ts'
import { ratio } from './ratio.ts'
import { benchBare, type Yardsticks } from './yardsticks.ts'

type Row = (what: string, figure: string, mark: string) => void

const G0 = 9.80665

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

/** Prints what a flight costs: plain, with two levers' derivatives, and against a plain integrator that finds nothing. */
export function benchFlight(row: Row, tools: Yardsticks): void {
  let k = 0
  const plans = Array.from({ length: 100 }, (_, n) => heron(0.92, 0.6 + n * 1e-4))
  const next = (): Plan => plans[k++ % 100]!
  const plain = (): void => void fly(next(), [], 'tight')
  const withSlopes = (): void => void fly(next(), BY_LEVERS, 'tight')
  const bare = (): void => void bareFlight(next())
  const many = (work: () => void) => (): void => {
    for (let i = 0; i < 20; i++) work()
  }
  const slopes = ratio(many(withSlopes), many(plain), 100, 200)
  const yardstick = ratio(many(plain), many(bare), 100, 200)
  row('one Heron flight, tight, all figures', `${((yardstick.a / 20) * 1000).toFixed(1)} µs`, '')
  row('Heron flights a second', (20_000 / yardstick.a).toFixed(0), '')
  row('… over a bare Dormand–Prince 5(4) at 1e-9 in TypeScript', `${yardstick.ratio.toFixed(2)} ×`, '')
  benchBare(row, tools)
  row('… with exact derivatives for two levers', `${slopes.ratio.toFixed(2)} ×`, '≤ 2 ×')
  benchGeneral(row, plans, yardstick.a * 50)
  benchStages(row, plans[0]!)
}

/** The general flight against the quick ascent: how many steps and right-hand sides each takes, and what one costs; the quick one takes so many microseconds. */
function benchGeneral(row: Row, plans: readonly Plan[], micros: number): void {
  const wholes = plans.map(plan => wholeOf(plan))
  const plan = plans[0]!
  let k = 0
  const rise = fly(plan, [], 'tight').figures[FLOWN.indexOf('apoapsis time')]!
  const fall = flyWhole(wholeOf(plan), [], 'tight', 'to the ground').figures[FLIGHT_FIGURES.indexOf('flight time')]!
  const quick = quickWork(plan)
  row('… its right-hand sides, in steps', `${quick.sides}, ${quick.steps}`, '')
  row('… one right-hand side, all told', `${((1000 * micros) / quick.sides).toFixed(0)} ns`, '')
  for (const [what, reach, seconds] of [
    ['the same ascent by the general flight', 'to apoapsis', rise],
    ['a general flight to the ground', 'to the ground', fall],
  ] as const) {
    // About as long as the quick ones it is compared with, so that whatever else the machine does interrupts neither more often.
    const general = (): void => repeat(4, () => void flyWhole(wholes[k++ % 100]!, [], 'tight', reach))
    const plain = (): void => repeat(16, () => void fly(plans[k++ % 100]!, [], 'tight'))
    const times = ratio(general, plain, 300, 2000)
    const work = generalWork(plan, reach)
    const over = 4 * times.ratio
    const side = (times.a * 250) / work.sides
    row(what, `${over.toFixed(1)} ×`, '')
    row('… right-hand sides, in steps', `${work.sides}, ${work.steps}`, '')
    row('… one right-hand side, all told', `${(1000 * side).toFixed(0)} ns`, '')
    row('… over the quick ascent’s, each right-hand side', `${((over * quick.sides) / work.sides).toFixed(2)} ×`, '')
    row('… each second of flight', `${((times.a * 250) / seconds).toFixed(3)} µs`, '')
    row('… over the quick ascent’s, each second of flight', `${((over * rise) / seconds).toFixed(2)} ×`, '≤ 2 ×')
  }
}

/** Stages straight up, which the quick ascent follows, against one stage of as much, second by second. */
function benchStages(row: Row, one: Plan): void {
  const [stage] = one.stages
  const at = (figures: Float64Array): number => figures[FLOWN.indexOf('apoapsis time')]!
  const rise = at(fly(one, [], 'tight').figures)
  const upper = { vacuumThrust: 3500, seaLevelThrust: 3000, throttleCap: 1, referenceArea: 0.07 }
  for (const [what, stages] of [
    [
      'a booster with a capsule that it drops',
      [
        { ...stage!, dryMass: 125, ...waits(5, 0) },
        { ...stage!, dryMass: 40, propellantMass: 0, ...waits(0, 0) },
      ],
    ],
    [
      'two stages',
      [
        { ...stage!, dryMass: 120, propellantMass: 250, ...waits(2, 0) },
        { ...stage!, ...upper, dryMass: 30, propellantMass: 60, ...waits(0, 3) },
      ],
    ],
  ] as const) {
    const plan = wholeOf(one, { stages })
    const quick = flyStack(plan, [], 'tight')!
    const over = ratio(
      () => repeat(16, () => void flyStack(plan, [], 'tight')),
      () => repeat(16, () => void fly(one, [], 'tight')),
      300,
      1000,
    )
    row(`${what}, straight up`, `${over.ratio.toFixed(2)} ×`, '')
    row('… right-hand sides', `${quick.evaluations}`, '')
    const general = ratio(
      () => repeat(8, () => void flyWhole(plan, [], 'tight', 'to apoapsis')),
      () => repeat(16, () => void flyStack(plan, [], 'tight')),
      200,
      500,
    )
    row('… by the general flight, over that', `${(2 * general.ratio).toFixed(2)} ×`, '')
    row(
      '… over one stage’s ascent, each second of flight',
      `${((over.ratio * rise) / at(quick.figures)).toFixed(2)} ×`,
      'as one stage',
    )
  }
}

function waits(separationDelay: number, ignitionDelay: number): Pick<WholeStage, 'separationDelay' | 'ignitionDelay'> {
  return { separationDelay, ignitionDelay }
}

function repeat(times: number, work: () => void): void {
  for (let k = 0; k < times; k++) work()
}

/** Right-hand sides and steps taken of a quick ascent. */
function quickWork(plan: Plan): { readonly sides: number; readonly steps: number } {
  let steps = 0
  const step = (): void => void steps++
  const none = (): void => undefined
  const { evaluations } = flyThrough(null, plan, [], TOLERANCES.tight, { step, event: none, end: none })
  return { sides: evaluations, steps }
}

function generalWork(plan: Plan, reach: Reach): { readonly sides: number; readonly steps: number } {
  let steps = 0
  const step = (): void => void steps++
  const none = (): void => undefined
  const { evaluations } = flyWholeAt(wholeOf(plan), [], TOLERANCES.tight, reach, { step, event: none, coast: none })
  return { sides: evaluations, steps }
}

// Dormand & Prince, J. Comput. Appl. Math. 6 (1980): 5(4), seven stages, first same as last.
const A = [
  [],
  [1 / 5],
  [3 / 40, 9 / 40],
  [44 / 45, -56 / 15, 32 / 9],
  [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
  [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
  [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
] as const
const C = [0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1, 1] as const
const E = [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40] as const

/** A yardstick: the same equations by the formulas of the air, no peaks, no losses, restarted at burnout only. Gives the apoapsis [m]. */
function bareFlight({ stages }: Plan): number {
  const { dryMass, propellantMass, vacuumThrust, seaLevelThrust, exhaustSpeed, throttleCap, referenceArea } = stages[0]!
  const flow = (throttleCap * vacuumThrust) / exhaustSpeed
  const burn = propellantMass / flow
  const drag = (referenceArea * 0.42) / 2
  const rate = (t: number, h: number, v: number): number => {
    const burning = t < burn
    const air = us76(Math.min(h, 86000))
    const thrust = burning
      ? throttleCap * (vacuumThrust - ((vacuumThrust - seaLevelThrust) * air.pressure) / 101325)
      : 0
    const mass = dryMass + (burning ? propellantMass - flow * t : 0)
    const density = h < 86000 ? air.density : 0
    const y = EARTH.radius / (EARTH.radius + h)
    return (thrust - density * drag * v * Math.abs(v)) / mass - G0 * y * y
  }
  let [t, h, v, step] = [0, 0, 0, 0.1]
  const kh = new Float64Array(7)
  const kv = new Float64Array(7)
  for (let n = 0; n < 5000 && (v > 0 || t < burn); n++) {
    if (t < burn && t + step > burn) step = burn - t
    for (let s = 0; s < 7; s++) {
      let [dh, dv] = [0, 0]
      for (let j = 0; j < s; j++) {
        dh += A[s]![j]! * kh[j]!
        dv += A[s]![j]! * kv[j]!
      }
      kh[s] = v + step * dv
      kv[s] = rate(t < burn ? Math.min(t + C[s]! * step, burn - 1e-12) : t + C[s]! * step, h + step * dh, v + step * dv)
    }
    let [eh, ev, nh, nv] = [0, 0, h, v]
    for (let s = 0; s < 7; s++) {
      eh += E[s]! * kh[s]! * step
      ev += E[s]! * kv[s]! * step
      if (s < 6) {
        nh += step * A[6]![s]! * kh[s]!
        nv += step * A[6]![s]! * kv[s]!
      }
    }
    const error = Math.max(Math.abs(eh) / (1e-9 * (Math.abs(nh) + 100)), Math.abs(ev) / (1e-9 * (Math.abs(nv) + 10)))
    if (error <= 1) {
      t = Math.abs(t + step - burn) < 1e-12 * burn ? burn : t + step
      h = nh
      v = nv
    }
    step *= Math.min(5, Math.max(0.2, 0.9 * error ** -0.2))
  }
  return h
}
