import type { BodyNumbers } from '../../solver/flight/plan.ts'
import type { Canopy, WholePlan, WholeStage } from '../../solver/flight/whole/plan.ts'
import { constantCurve, pchip } from '../../solver/model/curve.ts'
import { heronPlan } from '../support/vehicles.ts'
import { wholeOf } from '../support/whole.ts'

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

/** Whole flights to be integrated a second time, and how many figures must be compared at least. */
export const VOYAGES: readonly (readonly [string, WholePlan, number])[] = [
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
