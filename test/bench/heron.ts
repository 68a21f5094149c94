import { EARTH } from '../../solver/flight/index.ts'
import type { Plan, StageNumbers } from '../../solver/flight/plan.ts'
import { constantCurve } from '../../solver/model/curve.ts'

const G0 = 9.80665

/** The Heron of the example sheet at a share of its load and a cap. */
export function heron(load: number, cap: number): Plan {
  const stage: StageNumbers = {
    dryMass: 165,
    propellantMass: 300 * load,
    vacuumThrust: 17500,
    seaLevelThrust: 15400,
    exhaustSpeed: 242 * G0,
    throttleCap: cap,
    referenceArea: 0.125,
    drag: constantCurve(0.42),
  }
  return { body: EARTH, launchAltitude: 0, stages: [stage], restarts: new Uint8Array(1) }
}
