import type { Curve } from '../../model/expr.ts'
import { REFERENCE_PRESSURE } from '../pad.ts'
import { takeNumbers } from '../slab.ts'
import type { WholeDirection, WholePlan, WholeStage } from './plan.ts'

/** A number with its change by each lane. */
export interface Varied {
  readonly value: number
  readonly slopes: Float64Array
}

/** One stage's burn: times since the first ignition, masses of all that flies then. */
export interface Burn {
  readonly stage: number
  readonly ignition: Varied
  readonly burnout: Varied
  /** Mass at ignition and after burnout [kg], the stage's own shell still there. */
  readonly full: Varied
  readonly empty: Varied
  /** Vacuum thrust at the cap [N], (1 − F_sl/F_vac)/p_ref [1/Pa]. */
  readonly vacuum: Varied
  readonly cap: Varied
  readonly beta: Varied
  readonly exhaust: Varied
  readonly shape: Curve | null
}

/** What happens by the clock, in order. Lowest: the stage whose drag counts then. */
export type Appointment =
  | { readonly kind: 'burnout'; readonly at: Varied; readonly burn: number }
  | {
      readonly kind: 'drop'
      readonly at: Varied
      readonly stage: number
      readonly lowest: number
      readonly mass: Varied
    }
  | { readonly kind: 'ignition'; readonly at: Varied; readonly burn: number }

export interface Schedule {
  readonly burns: readonly Burn[]
  readonly appointments: readonly Appointment[]
}

/** Arithmetic on varied numbers, lane by lane. */
export function varied(lanes: number, value: number, slope: (lane: number) => number): Varied {
  const slopes = takeNumbers(lanes, 0)
  for (let lane = 0; lane < lanes; lane++) slopes[lane] = slope(lane)
  return { value, slopes }
}

function sum(a: Varied, b: Varied): Varied {
  return varied(a.slopes.length, a.value + b.value, lane => a.slopes[lane]! + b.slopes[lane]!)
}

/** When each stage burns and is dropped. A stage without propellant below a powered one falls off at that one's ignition. */
export function scheduleOf(plan: WholePlan, directions: readonly WholeDirection[]): Schedule {
  const lanes = directions.length
  const pick = (stage: number, of: (numbers: WholeStage) => number): Varied =>
    varied(lanes, of(plan.stages[stage]!), lane => of(directions[lane]!.stages[stage]!))
  const powered = [...plan.stages.keys()].filter(stage => plan.stages[stage]!.propellantMass > 0)
  const last = plan.stages.length - 1
  const above = (stage: number): Varied => {
    let mass = varied(lanes, 0, () => 0)
    for (let k = last; k >= stage; k--)
      mass = sum(
        mass,
        pick(k, it => it.dryMass + it.propellantMass),
      )
    return mass
  }
  const burns: Burn[] = []
  const appointments: Appointment[] = []
  let now = varied(lanes, 0, () => 0)
  powered.forEach((stage, index) => {
    if (index > 0) {
      now = sum(
        now,
        pick(stage, it => it.ignitionDelay),
      )
      for (let below = powered[index - 1]! + 1; below < stage; below++)
        appointments.push({ kind: 'drop', at: now, stage: below, lowest: below + 1, mass: above(below + 1) })
      appointments.push({ kind: 'ignition', at: now, burn: index })
    }
    const burn = burnOf(plan, directions, stage, now, above(stage))
    burns.push(burn)
    now = burn.burnout
    appointments.push({ kind: 'burnout', at: now, burn: index })
    if (stage === last) return
    now = sum(
      now,
      pick(stage, it => it.separationDelay),
    )
    appointments.push({ kind: 'drop', at: now, stage, lowest: stage + 1, mass: above(stage + 1) })
  })
  return { burns, appointments }
}

function burnOf(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  stage: number,
  ignition: Varied,
  full: Varied,
): Burn {
  const lanes = directions.length
  const it = plan.stages[stage]!
  const shape = plan.shapes[stage]!
  const by = (lane: number): WholeStage => directions[lane]!.stages[stage]!
  const { vacuumThrust: thrust, seaLevelThrust: seaLevel, throttleCap: cap, exhaustSpeed: c, propellantMass: load } = it
  // Time at full cap until the propellant is spent, or the curve ends.
  const wanted = (load * c) / thrust
  const end = shape ? endOf(shape, wanted) : { x: wanted, rate: 1, spent: true }
  const spent = (lane: number): number => {
    const d = by(lane)
    return end.spent
      ? (d.propellantMass * c + load * d.exhaustSpeed - wanted * d.vacuumThrust) / (thrust * end.rate)
      : 0
  }
  const burnout = varied(
    lanes,
    ignition.value + end.x / cap,
    lane => ignition.slopes[lane]! + spent(lane) / cap - (end.x * by(lane).throttleCap) / (cap * cap),
  )
  const burnt = end.spent ? load : (thrust * impulseOf(shape!, end.x)) / c
  const burntBy = (lane: number): number => {
    const d = by(lane)
    return end.spent ? d.propellantMass : burnt * (d.vacuumThrust / thrust - d.exhaustSpeed / c)
  }
  return {
    stage,
    ignition,
    burnout,
    full,
    empty: varied(lanes, full.value - burnt, lane => full.slopes[lane]! - burntBy(lane)),
    vacuum: varied(lanes, cap * thrust, lane => by(lane).throttleCap * thrust + cap * by(lane).vacuumThrust),
    cap: varied(lanes, cap, lane => by(lane).throttleCap),
    beta: varied(
      lanes,
      (1 - seaLevel / thrust) / REFERENCE_PRESSURE,
      lane => ((seaLevel * by(lane).vacuumThrust) / thrust - by(lane).seaLevelThrust) / thrust / REFERENCE_PRESSURE,
    ),
    exhaust: varied(lanes, c, lane => by(lane).exhaustSpeed),
    shape,
  }
}

/** Impulse of a shape from its first knot to x, its cubics integrated. */
export function impulseOf({ knots, coefficients }: Curve, x: number): number {
  let total = 0
  for (let k = 0; k + 1 < knots.length && knots[k]! < x; k++) {
    const w = Math.min(x, knots[k + 1]!) - knots[k]!
    const at = 4 * k
    total +=
      w *
      (coefficients[at]! +
        w * (coefficients[at + 1]! / 2 + w * (coefficients[at + 2]! / 3 + (w * coefficients[at + 3]!) / 4)))
  }
  return total
}

/** Where the impulse of a shape reaches `wanted`, or its end; `rate` is the shape there. */
function endOf(shape: Curve, wanted: number): { x: number; rate: number; spent: boolean } {
  const { knots } = shape
  const last = knots[knots.length - 1]!
  const whole = impulseOf(shape, last)
  if (wanted >= whole * (1 - 1e-12)) return { x: last, rate: 1, spent: false }
  let low = 0
  let high = last
  for (let i = 0; i < 200 && high - low > 1e-16 * last; i++) {
    const middle = 0.5 * (low + high)
    if (middle === low || middle === high) break
    if (impulseOf(shape, middle) < wanted) low = middle
    else high = middle
  }
  const x = 0.5 * (low + high)
  const tiny = 1e-7 * last
  return { x, rate: (impulseOf(shape, x + tiny) - impulseOf(shape, x - tiny)) / (2 * tiny), spent: true }
}
