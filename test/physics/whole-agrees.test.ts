import { describe, expect, test } from 'vitest'
import { flyThrough } from '../../solver/flight/fly.ts'
import { type Direction, EARTH, FLOWN, type Plan } from '../../solver/flight/index.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import { directionOf, heronPlan, planOf, randomPlan, sequence } from '../support/vehicles.ts'
import { wholeOf, wideDirection } from '../support/whole.ts'

/** The two ways to fly one stage straight up: each is written apart from the other. */
function both(plan: Plan, directions: readonly Direction[]) {
  const quick = flyThrough(null, plan, directions, 1e-12, null)
  const whole = flyWholeAt(wholeOf(plan), directions.map(wideDirection), 1e-12, 'to apoapsis', null)
  return { quick, whole }
}

function levers(plan: Plan): Direction[] {
  return [
    directionOf({ propellantMass: plan.stages[0]!.propellantMass }, plan),
    directionOf({ throttleCap: 1 }, plan),
    directionOf({ dryMass: plan.stages[0]!.dryMass, exhaustSpeed: 500, referenceArea: 0.1 }, plan),
    directionOf({}, plan, 1000),
  ]
}

function expectAgree(plan: Plan): void {
  const directions = levers(plan)
  const { quick, whole } = both(plan, directions)
  expect(whole.outcome).toBe(quick.outcome)
  FLOWN.forEach((name, k) => {
    const [a, b] = [quick.figures[k]!, whole.figures[k]!]
    if (!Number.isFinite(a)) expect(b, name).toBe(a)
    else expect(Math.abs(a - b) / Math.max(1, Math.abs(a)), name).toBeLessThan(1e-9)
    directions.forEach((_, l) => {
      const [p, q] = [quick.slopes[k * directions.length + l]!, whole.slopes[k * directions.length + l]!]
      // Slopes of the losses are a difference of larger ones: a hundredth of the figure is their scale.
      const scale = Math.max(Math.abs(p), Number.isFinite(a) ? 0.01 * Math.abs(a) : 0, 1)
      expect(Math.abs(p - q) / scale, `${name} by ${l}`).toBeLessThan(5e-6)
    })
  })
}

describe('one stage straight up, flown as a whole flight, has the quick flight’s figures within 1e-9 and its slopes', () => {
  test('for the Heron', () => expectAgree(heronPlan(0.92, 0.61)))
  test('held on the pad', () => expectAgree(planOf({ throttleCap: 0.2 })))
  test('never leaving it', () => expectAgree(planOf({ throttleCap: 0.05 })))
  test('launched at 30 km', () => expectAgree(planOf({}, EARTH, 30000)))
  test.each(Array.from({ length: 8 }, (_, k) => k))('with a drag coefficient that jumps: %i', k => {
    const next = sequence(k + 40)
    const [below, above, at] = [0.05 + 0.85 * next(), 0.05 + 0.85 * next(), 0.5 + 1.2 * next()]
    const drag = { knots: Float64Array.of(0, at, 9), coefficients: Float64Array.of(below, 0, 0, 0, above, 0, 0, 0) }
    expectAgree(planOf({ drag, dryMass: 200 + 300 * next(), propellantMass: 20 + 100 * next() }))
  })
  test.each(Array.from({ length: 40 }, (_, k) => k))('for vehicle %i', k => expectAgree(randomPlan(k)))
})

test.each([1, 0.05])('with nothing to burn it stays, either way, and has no burnout: throttled to %d', throttleCap => {
  const plan = planOf({ propellantMass: 0, throttleCap }, EARTH, 700)
  const { quick, whole } = both(plan, levers(plan))
  expect([quick.outcome, whole.outcome]).toEqual(['never leaves the pad', 'never leaves the pad'])
  FLOWN.forEach((name, k) => {
    const wanted = quick.figures[k]!
    expect(whole.figures[k], name).toEqual(Number.isFinite(wanted) ? expect.closeTo(wanted, 9) : wanted)
    for (let l = 0; l < 4; l++) {
      const slope = quick.slopes[4 * k + l]!
      expect(Math.abs(whole.slopes[4 * k + l]! - slope), name).toBeLessThanOrEqual(1e-12 * Math.abs(slope))
    }
  })
})
