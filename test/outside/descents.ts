import type { BodyNumbers } from '../../solver/flight/plan.ts'
import type { WholePlan } from '../../solver/flight/whole/plan.ts'
import { H, MASS, U, W } from '../../solver/flight/whole/point.ts'
import { carry } from '../../solver/flight/whole/staging.ts'
import { Voyage } from '../../solver/flight/whole/voyage.ts'
import { constantCurve } from '../../solver/model/curve.ts'
import { heronPlan } from '../support/vehicles.ts'
import { stageLike, wholeOf } from '../support/whole.ts'

const heron = heronPlan(0.92, 0.61)
const stage = stageLike(heron.stages[0]!)

/**
 * Ballistic entries into exponential air: speed [m/s], angle below the horizontal [deg], mass over drag area [kg/m2], peak [g0].
 * H. J. Allen & A. J. Eggers, NACA Report 1381 (1958): a_max = V² sin θ/(2 e H), whatever the body's mass and drag.
 */
export const ENTRIES = [
  [2000, 90, 300, 11.197989],
  [7000, 30, 500, 68.587682],
  [3000, 60, 1000, 21.819922],
] as const

/** The peak of such an entry as flown [g0]. */
export function entryPeak(speed: number, angle: number, ballistic: number): number {
  // Almost flat and almost without weight, as the closed form has it.
  const body: BodyNumbers = {
    radius: 1e12,
    gravity: 1e-6,
    air: { kind: 'exponential', pressure: 1e5, density: 1.752, scaleHeight: 6700, soundSpeed: 300, top: 200e3 },
  }
  const plan = wholeOf(
    { ...heron, body },
    { stages: [stage({ propellantMass: 0, dryMass: ballistic, referenceArea: 1, drag: constantCurve(1) })] },
  )
  const oblique = angle < 90 ? { ...plan, railElevation: 1, railLength: 1 } : plan
  const care = { tolerance: 1e-9, speed: 10, altitude: 100 }
  const voyage = new Voyage(oblique, [], 1e-9, true, null, care)
  const { state } = voyage.from
  state.fill(0)
  state[H] = 199e3
  state[U] = -speed * Math.sin((angle * Math.PI) / 180)
  state[W] = angle < 90 ? speed * Math.cos((angle * Math.PI) / 180) : 0
  state[MASS] = ballistic
  voyage.from.time = 0
  carry(voyage, 0)
  voyage.begin(1)
  voyage.log.apoapsis()
  voyage.arrange()
  voyage.goOn(5000)
  return voyage.ledger.at('entry g') / 9.80665
}

/** Terminal speed at sea level of 1100 kg under a 63-ft canopy: T. W. Knacke, NWC TP 6575, ch. 5: v = √(2 m g/(ρ C S)) [m/s]. */
export const TERMINAL = 9.004772

export function canopyPlan(): WholePlan {
  const never = Number.POSITIVE_INFINITY
  const area = 0.75 * Math.PI * (19.2024 / 2) ** 2
  return wholeOf(heron, {
    stages: [
      stage({ dryMass: 1100, propellantMass: 300, vacuumThrust: 60000, seaLevelThrust: 60000, referenceArea: 0 }),
    ],
    canopies: [{ area, altitude: 3000, fillTime: 3, safeQ: never, safeSpeed: never }],
  })
}
