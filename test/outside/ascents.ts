import { type BodyNumbers, EARTH, type FlownName, type Plan } from '../../solver/flight/index.ts'
import { dragTable, heronPlan, planOf, sequence } from '../support/vehicles.ts'

/** Figures of the Heron at 92 % and 61 % and how near ours must be: an independent program (SciPy's DOP853 at 1e-13, restarted at layer edges, losses as extra states). */
export const HERON_BY_SCIPY: readonly (readonly [FlownName, value: number, within: number])[] = [
  ['burnout altitude', 27945.7962, 1e-3],
  ['burnout speed', 1206.47771, 2e-5],
  ['max q', 59283.3139, 1e-3],
  ['peak g', 58.7161032, 1e-6],
  ['drag loss', 415.9757, 1e-5],
  ['back pressure loss', 110.521691, 1e-5],
  ['gravity loss', 600.125539, 1e-5],
  ['apoapsis', 100092.027, 2e-3],
]

const moon: BodyNumbers = { radius: 1737.4e3, gravity: 1.625, air: null }
const pebble = (gravity: number): BodyNumbers => ({ radius: 2e5, gravity, air: null })

/** Ascents to be integrated a second time. */
export const ASCENTS: readonly (readonly [string, Plan])[] = [
  ['of the Heron', heronPlan(0.92, 0.61)],
  ['of the Heron with a drag table', planOf({ drag: dragTable(sequence(3)) })],
  ['launched at 30 km', planOf({}, EARTH, 30000)],
  ['launched on the edge of a layer', planOf({}, EARTH, 20063.12411)],
  ['held on the pad for half of the burn', planOf({ throttleCap: 0.2 })],
  ['without drag', planOf({ referenceArea: 0 })],
  ['of a hop where there is no air', planOf({ propellantMass: 100 }, moon)],
  ['of an escape', planOf({ propellantMass: 300 }, pebble(0.5))],
  ['of mass ratio 25', planOf({ dryMass: 20, propellantMass: 480 })],
  [
    'of something light and draggy',
    planOf({
      dryMass: 4,
      propellantMass: 8,
      vacuumThrust: 1500,
      seaLevelThrust: 1400,
      referenceArea: 0.2,
      throttleCap: 1,
    }),
  ],
  ['against more pressure than its nozzle bears at first', planOf({ seaLevelThrust: 4000 })],
]
