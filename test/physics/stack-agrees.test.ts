import { describe, expect, test } from 'vitest'
import { FLOWN } from '../../solver/flight/plan.ts'
import { figureNames, STACK_FIGURES } from '../../solver/flight/whole/figures.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import type { WholePlan, WholeStage } from '../../solver/flight/whole/plan.ts'
import { flyStackAt, isStack } from '../../solver/flight/whole/stack.ts'
import { dragTable, randomPlan, sequence } from '../support/vehicles.ts'
import { type Lever, leverOf, wholeOf } from '../support/whole.ts'

// Stages straight up are flown in two ways, each written apart from the other.

const GIVEN: readonly string[] = [...FLOWN, ...STACK_FIGURES]

const LEVERS: readonly Lever[] = [
  { stages: { 0: { propellantMass: 100, dryMass: 10 } } },
  { stages: { 0: { throttleCap: 1 }, 1: { throttleCap: 1 } } },
  { stages: { 1: { vacuumThrust: 1000, seaLevelThrust: 800, exhaustSpeed: 100 } } },
  { stages: { 1: { propellantMass: 50, referenceArea: 0.01 } } },
  { stages: { 0: { separationDelay: 1 } } },
  { stages: { 1: { ignitionDelay: 1 } } },
  { flight: { launchAltitude: 1000 } },
]

/** Two to four stages on top of one another, those above the first with or without propellant, on the bodies of `randomPlan`. */
function stackOf(k: number): WholePlan {
  const next = sequence(k + 700)
  for (let i = 0; i < 5; i++) next()
  const between = (low: number, high: number): number => low * (high / low) ** next()
  const plan = randomPlan(k)
  const bottom = plan.stages[0]!
  const count = 2 + Math.floor(3 * next() ** 2)
  const stages: WholeStage[] = [{ ...bottom, ...delays(next) }]
  let mass = bottom.dryMass + bottom.propellantMass
  for (let stage = 1; stage < count; stage++) {
    mass *= between(0.08, 0.35)
    const empty = next() < (stage === count - 1 ? 0.35 : 0.2)
    const share = empty ? 0 : between(0.3, 0.85)
    const exhaustSpeed = between(1200, 3200)
    const vacuumThrust = mass * plan.body.gravity * between(1.2, 8)
    stages.push({
      ...bottom,
      dryMass: mass * (1 - share),
      propellantMass: mass * share,
      exhaustSpeed,
      vacuumThrust,
      seaLevelThrust: vacuumThrust * (plan.body.air ? 1 - 0.35 * next() : 1),
      throttleCap: 0.6 + 0.4 * next(),
      referenceArea: bottom.referenceArea * between(0.3, 1),
      drag: plan.body.air && next() < 0.3 ? dragTable(next) : bottom.drag,
      ...delays(next),
    })
  }
  // The bottom one lifts them all.
  const lift =
    1 +
    stages.slice(1).reduce((sum, it) => sum + it.dryMass + it.propellantMass, 0) /
      (bottom.dryMass + bottom.propellantMass)
  stages[0] = {
    ...stages[0]!,
    vacuumThrust: bottom.vacuumThrust * lift,
    seaLevelThrust: bottom.seaLevelThrust * lift,
  }
  return wholeOf(plan, { stages })
}

function delays(next: () => number): { separationDelay: number; ignitionDelay: number } {
  const delay = (): number => (next() < 0.35 ? 0 : 6 * next())
  return { separationDelay: delay(), ignitionDelay: delay() }
}

type Flown = ReturnType<typeof flyWholeAt>

/** Every figure that the quick ascent gives is the general flight's, and so are its slopes. */
function expectAlike(plan: WholePlan, levers: number, quick: Flown, whole: Flown): void {
  expect(quick.outcome).toBe(whole.outcome)
  figureNames(plan.stages.length, 0).forEach(({ name, index, of }, place) => {
    const [a, b] = [quick.figures[place]!, whole.figures[place]!]
    const what = `${name} of ${of} ${index}`
    if (!GIVEN.includes(name) || (of === 'stage' && !(plan.stages[index]!.propellantMass > 0))) {
      expect(a, what).toBeNaN()
      return
    }
    if (!Number.isFinite(b)) expect(a, what).toBe(b)
    else expect(Math.abs(a - b) / Math.max(1, Math.abs(a)), what).toBeLessThan(1e-9)
    for (let l = 0; l < levers; l++) {
      const [p, q] = [quick.slopes[place * levers + l]!, whole.slopes[place * levers + l]!]
      // Slopes of the losses are a difference of larger ones: a hundredth of the figure is their scale.
      const scale = Math.max(Math.abs(p), Number.isFinite(a) ? 0.01 * Math.abs(a) : 0, 1)
      expect(Math.abs(p - q) / scale, `${what} by ${l}`).toBeLessThan(2e-5)
    }
  })
}

describe('stages straight up by the quick ascent have the general flight’s figures within 1e-9 and its slopes', () => {
  let left = 0
  test.each(Array.from({ length: 80 }, (_, k) => k))('for stack %i', k => {
    const plan = stackOf(k)
    const directions = LEVERS.map(lever => leverOf(plan, lever))
    expect(isStack(plan, directions)).toBe(true)
    const quick = flyStackAt(plan, directions, 1e-12)
    if (quick) expectAlike(plan, LEVERS.length, quick, flyWholeAt(plan, directions, 1e-12, 'to apoapsis', null))
    else left++
  })
  test('and few are left to it', () => expect(left).toBeLessThan(12))
})
