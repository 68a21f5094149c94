import { describe, expect, test } from 'vitest'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import type { Canopy, WholePlan, WholeStage } from '../../solver/flight/whole/plan.ts'
import { constantCurve, pchip } from '../../solver/model/curve.ts'
import { referenceWhole } from '../support/reference-whole.ts'
import { heronPlan } from '../support/vehicles.ts'
import { flown, wholeOf } from '../support/whole.ts'

// Expected: support/reference-whole.ts, the same flight in Cartesian coordinates by odex, an independent integrator, at 1e-12.

const heron = heronPlan(0.92, 0.61)
const stage = (numbers: Partial<WholeStage>): WholeStage => ({
  ...heron.stages[0]!,
  separationDelay: 3,
  ignitionDelay: 2,
  drag: constantCurve(0.5),
  ...numbers,
})
const canopy = (numbers: Partial<Canopy>): Canopy => ({
  area: 0.5,
  altitude: 7000,
  fillTime: 0,
  safeQ: Number.POSITIVE_INFINITY,
  safeSpeed: Number.POSITIVE_INFINITY,
  ...numbers,
})
const second = stage({ dryMass: 60, propellantMass: 80, vacuumThrust: 6000, seaLevelThrust: 5000, referenceArea: 0.1 })
const capsule = stage({ dryMass: 40, propellantMass: 0, referenceArea: 0.2, drag: constantCurve(1.1) })
const main = canopy({ area: 12, altitude: 1500, fillTime: 1, safeQ: 2000 })
const world: BodyNumbers = {
  radius: 600e3,
  gravity: 5,
  air: { kind: 'exponential', pressure: 8e4, density: 1.1, scaleHeight: 6000, soundSpeed: 300, top: 60e3 },
}
const moon: BodyNumbers = { radius: 1737.4e3, gravity: 1.625, air: null }

const PLANS: readonly (readonly [string, WholePlan, number])[] = [
  [
    'of two stages and a capsule off a leaning rail, under two parachutes',
    wholeOf(heron, {
      railElevation: 1.52,
      railLength: 30,
      stages: [stage({ throttleCap: 0.9, propellantMass: 150 }), second, capsule],
      canopies: [canopy({}), main],
    }),
    15,
  ],
  [
    'straight up from 2 km, with a parachute that waits for a safe speed',
    wholeOf(
      { ...heron, launchAltitude: 2000 },
      {
        stages: [stage({ propellantMass: 200 }), capsule],
        canopies: [canopy({ area: 6, altitude: 4000, safeSpeed: 140, fillTime: 2 })],
      },
    ),
    12,
  ],
  [
    'by a thrust curve at 80 %',
    wholeOf(heron, {
      railElevation: 1.45,
      railLength: 12,
      shapes: [pchip([0, 0.5, 5, 20, 30], [0.6, 1, 0.8, 0.6, 0.2])],
      stages: [stage({ propellantMass: 130, exhaustSpeed: 2300, throttleCap: 0.8 })],
    }),
    10,
  ],
  [
    'in the exponential air of another world',
    wholeOf(
      { ...heron, body: world },
      {
        railElevation: 1.3,
        railLength: 20,
        stages: [stage({ propellantMass: 200 }), capsule],
        canopies: [canopy({ area: 5, altitude: 4000 })],
      },
    ),
    13,
  ],
  [
    'over the Moon',
    wholeOf({ ...heron, body: moon }, { railElevation: 1.2, railLength: 20, stages: [stage({ propellantMass: 100 })] }),
    9,
  ],
]

describe('an independent integration of the whole flight agrees with every figure within 1e-6', () => {
  test.each(PLANS)(
    '%s',
    (_, plan, least) => {
      const reference = referenceWhole(plan)
      const ours = flown(plan)
      expect(ours.outcome).toBe('comes down')
      let compared = 0
      for (const [name, value] of Object.entries(reference)) {
        const opening = /^(opening .*) (\d)$/.exec(name)
        const figure = opening ? ours.at(opening[1]!, Number(opening[2]), 'canopy') : ours.at(name)
        // Peaks of the reference are the largest of samples: a little low.
        const within = /peak g|max q|entry|opening g/.test(name) ? 1e-4 : 1e-6
        expect(Math.abs(figure - value) / Math.max(1, Math.abs(value)), name).toBeLessThan(within)
        compared++
      }
      expect(compared).toBeGreaterThanOrEqual(least)
    },
    60_000,
  )
})
