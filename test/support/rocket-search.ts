import { airAt, EARTH } from '../../solver/flight/air.ts'
import { fly } from '../../solver/flight/fly.ts'
import { leavesPad } from '../../solver/flight/pad.ts'
import {
  type BodyNumbers,
  type Direction,
  FLOWN,
  type FlownName,
  type Plan,
  type StageNumbers,
} from '../../solver/flight/plan.ts'
import type { Range } from '../../solver/model/model.ts'
import type { Row, Sample, SearchAim, SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { directionOf, planOf } from './vehicles.ts'

/** A vehicle with levers, each acting on its plan. */
export interface Vehicle {
  readonly body: BodyNumbers
  readonly base: Partial<StageNumbers>
  readonly levers: readonly VehicleLever[]
}

export interface VehicleLever {
  readonly range: Range
  /** The stage's numbers per unit of the lever, and those at zero of it. */
  readonly rates: Partial<StageNumbers>
}

/** A lever from … to in so many steps; 0: none, rounded to nine digits. */
export function rangeOf(from: number, to: number, steps: number): Range {
  const settings =
    steps > 0 ? Float64Array.from({ length: steps + 1 }, (_, k) => from + ((to - from) * k) / steps) : null
  const inward = (x: number): number => Math.min(to, Math.max(from, Number(x.toPrecision(9))))
  return { from, to, settings, inward: settings ? x => x : inward }
}

const G0 = 9.80665
/** The flown rows offered, then the exact ones. */
const FLOWN_ROWS: readonly FlownName[] = [
  'peak g burning',
  'peak g coasting',
  'max q burning',
  'max q coasting',
  'apoapsis energy',
  'burnout altitude',
  'burnout speed',
  'max speed',
  'apoapsis time',
  'drag loss',
  'gravity loss',
]
export const ROW = {
  liftoffRatio: FLOWN_ROWS.length,
  propellantMass: FLOWN_ROWS.length + 1,
  liftoffMass: FLOWN_ROWS.length + 2,
  lever: FLOWN_ROWS.length + 3,
  peakG: [0, 1],
  maxQ: [2, 3],
  energy: 4,
  burnoutAltitude: 5,
  burnoutSpeed: 6,
  maxSpeed: 7,
  apoapsisTime: 8,
  dragLoss: 9,
  gravityLoss: 10,
} as const

/** The vehicle as a search knows it: rows for everything above, one more a lever. */
export interface Rig {
  readonly rows: readonly Row[]
  readonly ranges: readonly Range[]
  readonly algebra: SearchProblem['algebra']
  readonly fly: SearchProblem['fly']
  readonly radius: number
  /** Plain flights made, tight ones among them. */
  readonly count: { flights: number }
}

export function rigOf(vehicle: Vehicle): Rig {
  const { radius } = vehicle.body
  const n = vehicle.levers.length
  const count = ROW.lever + n
  const rows = Array.from(
    { length: count },
    (_, r): Row => ({
      exact: r >= FLOWN_ROWS.length,
      figure: r === ROW.energy ? s => (s >= radius ? Number.POSITIVE_INFINITY : (radius * s) / (radius - s)) : null,
    }),
  )
  const places = FLOWN_ROWS.map(name => FLOWN.indexOf(name))
  const still = planOf(vehicle.base, vehicle.body)
  const directions = vehicle.levers.map(lever => directionOf(lever.rates, still))
  const made = { flights: 0 }
  const algebra = (x: Float64Array): Sample => {
    const plan = planAt(vehicle, x)
    return exactSample(vehicle, plan, x, directions, count)
  }
  return {
    rows,
    ranges: vehicle.levers.map(lever => lever.range),
    radius,
    count: made,
    algebra,
    fly: (x, accuracy, slopes) => {
      const plan = planAt(vehicle, x)
      const sample = exactSample(vehicle, plan, x, directions, count)
      const flown = fly(plan, slopes ? directions : [], accuracy)
      made.flights++
      places.forEach((place, r) => {
        sample.rows[r] = absent(flown.figures, place)
        if (slopes)
          for (let l = 0; l < n; l++)
            sample.slopes[r * n + l] = Number.isNaN(flown.figures[place]!) ? 0 : flown.slopes[place * n + l]!
      })
      return { ...sample, work: (flown.evaluations * (slopes ? 1 + 0.45 * n : 1)) / 450 }
    },
  }
}

/** A phase that is not there has no peak. */
function absent(figures: Float64Array, place: number): number {
  const value = figures[place]!
  return Number.isNaN(value) && FLOWN[place]!.includes('ing') && Number.isFinite(figures[FLOWN.indexOf('max q')]!)
    ? 0
    : value
}

function planAt(vehicle: Vehicle, x: Float64Array): Plan {
  const numbers: Record<string, number> = {}
  const base = planOf(vehicle.base, vehicle.body).stages[0]! as unknown as Record<string, number>
  vehicle.levers.forEach((lever, l) => {
    for (const [name, rate] of Object.entries(lever.rates))
      numbers[name] = (numbers[name] ?? base[name]!) + (rate as number) * x[l]!
  })
  return planOf({ ...vehicle.base, ...(numbers as Partial<StageNumbers>) }, vehicle.body)
}

function exactSample(
  vehicle: Vehicle,
  plan: Plan,
  x: Float64Array,
  directions: readonly Direction[],
  count: number,
): Sample {
  const n = x.length
  const rows = new Float64Array(count).fill(Number.NaN)
  const slopes = new Float64Array(count * n)
  const stage = plan.stages[0]!
  const pressure = airAt(vehicle.body, 'pressure', 0)
  const thrustOf = (it: StageNumbers): number =>
    it.vacuumThrust - ((it.vacuumThrust - it.seaLevelThrust) * pressure) / 101325
  const thrust = stage.throttleCap * thrustOf(stage)
  const mass = stage.dryMass + stage.propellantMass
  rows[ROW.liftoffRatio] = thrust / (mass * vehicle.body.gravity)
  rows[ROW.propellantMass] = stage.propellantMass
  rows[ROW.liftoffMass] = mass
  for (let l = 0; l < n; l++) {
    const by = directions[l]!.stages[0]!
    const massBy = by.dryMass + by.propellantMass
    const thrustBy = by.throttleCap * thrustOf(stage) + stage.throttleCap * thrustOf(by)
    slopes[ROW.liftoffRatio * n + l] = rows[ROW.liftoffRatio]! * (thrustBy / thrust - massBy / mass)
    slopes[ROW.propellantMass * n + l] = by.propellantMass
    slopes[ROW.liftoffMass * n + l] = massBy
    rows[ROW.lever + l] = x[l]!
    slopes[(ROW.lever + l) * n + l] = 1
  }
  return { rows, slopes, lifts: leavesPad(plan), work: 0 }
}

/** The energy row's value for an apoapsis. */
export function energyOf(radius: number, apoapsis: number): number {
  return Number.isFinite(apoapsis) ? (radius * apoapsis) / (radius + apoapsis) : apoapsis
}

type Limits = { readonly low?: number; readonly high?: number }

/** A target on a row or on the largest of several; limits in the figure's units. */
export function targetOn(
  rig: Rig,
  level: SearchTarget['level'],
  kind: SearchTarget['kind'],
  rows: number | readonly number[],
  { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY }: Limits,
): SearchTarget {
  const list = typeof rows === 'number' ? [rows] : rows
  const toRow = (limit: number): number => (list[0] === ROW.energy ? energyOf(rig.radius, limit) : limit)
  const band = kind === 'within' || kind === 'equal within'
  const scale = band ? (high - low) / 2 : Math.abs(Number.isFinite(low) ? low : high) || 1
  return { level, kind, rows: list, low, high, rowLow: toRow(low), rowHigh: toRow(high), scale }
}

export function problemOf(rig: Rig, targets: readonly SearchTarget[], aims: readonly SearchAim[]): SearchProblem {
  return {
    levers: rig.ranges,
    low: Float64Array.from(rig.ranges, range => range.from),
    high: Float64Array.from(rig.ranges, range => range.to),
    rows: rig.rows,
    targets,
    aims: aims.at(-1)?.sense === 'roomiest' ? aims : [...aims, { sense: 'roomiest' }],
    algebra: rig.algebra,
    fly: rig.fly,
  }
}

/** The Heron: fuel fraction and throttle cap, 30 to 100 %. */
export function heronRig(steps = 70): Rig {
  return rigOf({
    body: EARTH,
    base: { propellantMass: 0, throttleCap: 0 },
    levers: [
      { range: rangeOf(0.3, 1, steps), rates: { propellantMass: 300 } },
      { range: rangeOf(0.3, 1, steps), rates: { throttleCap: 1 } },
    ],
  })
}

export function heronProblem(steps = 70): SearchProblem {
  const rig = heronRig(steps)
  return problemOf(
    rig,
    [
      targetOn(rig, 'must', 'at least', ROW.liftoffRatio, { low: 2 }),
      targetOn(rig, 'must', 'at most', ROW.peakG, { high: 6 * G0 }),
      targetOn(rig, 'must', 'at most', ROW.maxQ, { high: 70e3 }),
      targetOn(rig, 'should', 'within', ROW.energy, { low: 100e3, high: 110e3 }),
    ],
    [{ sense: 'least', row: ROW.propellantMass }],
  )
}
