import { EARTH } from '../../solver/flight/air.ts'
import type { BodyNumbers, Direction, Plan, StageNumbers } from '../../solver/flight/plan.ts'
import { constantCurve, pchip } from '../../solver/model/curve.ts'

/** A fixed sequence of numbers from 0 to 1 (Lehmer's generator, a = 48271, m = 2^31 − 1): the same vehicles every time. */
export function sequence(seed: number): () => number {
  let state = (seed * 7919 + 1) % 2147483647
  return () => {
    state = (state * 48271) % 2147483647
    return state / 2147483647
  }
}

/** A plan of the Heron sheet at these settings. */
export function heronPlan(fuelFraction: number, throttleCap: number): Plan {
  return planOf({ propellantMass: 300 * fuelFraction, throttleCap })
}

const HERON: StageNumbers = {
  dryMass: 165,
  propellantMass: 276,
  vacuumThrust: 17500,
  seaLevelThrust: 15400,
  exhaustSpeed: 242 * 9.80665,
  throttleCap: 0.61,
  referenceArea: 0.125,
  drag: constantCurve(0.42),
}

/** The Heron with some of its numbers changed, on Earth unless told otherwise. All knots of a drag table are real. */
export function planOf(changes: Partial<StageNumbers>, body: BodyNumbers = EARTH, launchAltitude = 0): Plan {
  const stage = { ...HERON, ...changes }
  return { body, launchAltitude, stages: [stage], restarts: new Uint8Array(stage.drag.knots.length).fill(1) }
}

/** One lever that changes these numbers of the stage at these rates. */
export function directionOf(rates: Partial<StageNumbers>, plan: Plan, launchAltitude = 0): Direction {
  const { drag } = plan.stages[0]!
  const still: StageNumbers = {
    dryMass: 0,
    propellantMass: 0,
    vacuumThrust: 0,
    seaLevelThrust: 0,
    exhaustSpeed: 0,
    throttleCap: 0,
    referenceArea: 0,
    drag: { knots: drag.knots, coefficients: new Float64Array(drag.coefficients.length) },
  }
  return { launchAltitude, stages: [{ ...still, ...rates }] }
}

/** A drag table of an invented body: a rise through the speed of sound and a slow fall after it. */
export function dragTable(next: () => number): StageNumbers['drag'] {
  const count = 6 + Math.floor(8 * next())
  const level = 0.2 + 0.4 * next()
  const last = 3 + 3 * next()
  const mach = Array.from({ length: count }, (_, k) => (last * (k + 0.3 * next())) / count)
  return pchip(
    mach,
    mach.map(m => level * (1 + 0.9 * Math.exp(-(((m - 1.15) / 0.35) ** 2)) - 0.06 * m + 0.05 * next())),
  )
}

/** Vehicle number `k` of the sequence: two in three on Earth, the others in exponential air or without. */
export function randomPlan(k: number): Plan {
  const next = sequence(k + 1)
  for (let i = 0; i < 5; i++) next()
  const between = (low: number, high: number): number => low * (high / low) ** next()
  const where = next()
  const body = where < 0.66 ? EARTH : where < 0.88 ? smallWorld(next) : airless(next)
  const dryMass = between(5, 2000)
  const propellantMass = dryMass * between(0.15, 6)
  const exhaustSpeed = between(1200, 3500)
  const liftoff = next() < 0.15 ? between(0.75, 1) : between(1.1, 12)
  const vacuumThrust = liftoff * (dryMass + propellantMass) * body.gravity * (1 + 0.3 * next())
  const area = next() < 0.08 ? 0 : Math.PI * (between(0.15, 0.5) * Math.cbrt(dryMass / 100)) ** 2 * 0.25
  const table = next() < 0.4 && area > 0 && body.air !== null
  return planOf(
    {
      dryMass,
      propellantMass,
      vacuumThrust,
      seaLevelThrust: vacuumThrust * (0.75 + 0.25 * next()),
      exhaustSpeed,
      throttleCap: 0.6 + 0.4 * next(),
      referenceArea: area,
      drag: table ? dragTable(next) : constantCurve(0.2 + 0.8 * next()),
    },
    body,
    next() < 0.2 ? 4000 * next() : 0,
  )
}

function smallWorld(next: () => number): BodyNumbers {
  const scaleHeight = 2000 + 14000 * next()
  return {
    radius: 3e5 + 6e6 * next(),
    gravity: 1 + 12 * next(),
    air: {
      kind: 'exponential',
      pressure: 1000 * 150 ** next(),
      density: 0.02 * 150 ** next(),
      scaleHeight,
      soundSpeed: 200 + 200 * next(),
      top: scaleHeight * (4 + 10 * next()),
    },
  }
}

function airless(next: () => number): BodyNumbers {
  return { radius: 3e5 + 3e6 * next(), gravity: 0.5 + 4 * next(), air: null }
}
