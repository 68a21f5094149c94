import { describe, expect, test } from 'vitest'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import { figureNames } from '../../solver/flight/whole/figures.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import type { Canopy, WholePlan, WholeStage } from '../../solver/flight/whole/plan.ts'
import { constantCurve, pchip } from '../../solver/model/curve.ts'
import { heronPlan } from '../support/vehicles.ts'
import { type Lever, leverOf, moved, wholeOf } from '../support/whole.ts'

// The derivatives that are carried along, against differences of whole flights (five points, at 1e-12).

const heron = heronPlan(0.92, 0.61)
const stage = (numbers: Partial<WholeStage>): WholeStage => ({
  ...heron.stages[0]!,
  separationDelay: 3,
  ignitionDelay: 0,
  ...numbers,
})
const canopy = (numbers: Partial<Canopy>): Canopy => ({
  area: 5,
  altitude: 5000,
  fillTime: 1,
  safeQ: Number.POSITIVE_INFINITY,
  safeSpeed: Number.POSITIVE_INFINITY,
  ...numbers,
})
const drag = pchip([0, 0.8, 1.1, 2, 4], [0.4, 0.45, 0.7, 0.5, 0.35])
const capsule = stage({ dryMass: 60, propellantMass: 0, referenceArea: 0.2, drag: constantCurve(1.1) })
const moon: BodyNumbers = { radius: 1737.4e3, gravity: 1.625, air: null }
const world: BodyNumbers = {
  radius: 600e3,
  gravity: 5,
  air: { kind: 'exponential', pressure: 8e4, density: 1.1, scaleHeight: 6000, soundSpeed: 300, top: 60e3 },
}
const hot = { noseRadius: 0.4, heating: 1.7415e-4, space: 60e3 }

/** Invented: what is borne for up to a second, and less for longer. */
const borne = { curve: pchip([0, 1.5, 3, 5], [120, 100, 70, 40]), overLogarithm: true }
const ridden = { crewLimit: borne, entryCrewLimit: borne }

const LEVERS: Readonly<Record<string, Lever>> = {
  load: { stages: { 0: { propellantMass: 100 } } },
  cap: { stages: { 0: { throttleCap: 1 } } },
  thrust: { stages: { 0: { vacuumThrust: 10000, seaLevelThrust: 9000 } } },
  impulse: { stages: { 0: { exhaustSpeed: 1000 } } },
  area: { stages: { 0: { referenceArea: 0.1 } } },
  launch: { flight: { launchAltitude: 1000 } },
  elevation: { flight: { railElevation: 0.1 } },
  rail: { flight: { railLength: 10 } },
  nose: { flight: { noseRadius: 1 } },
  drop: { stages: { 0: { separationDelay: 10 } } },
  ignition: { stages: { 1: { ignitionDelay: 10 } } },
  second: { stages: { 1: { propellantMass: 50, dryMass: 10, throttleCap: 0.2 } } },
  canopy: { canopies: { 0: { area: 1 } } },
  second_canopy: { canopies: { 1: { area: 10, fillTime: 1 } } },
  altitude: { canopies: { 0: { altitude: 1000 }, 1: { altitude: 1000 } } },
  fill: { canopies: { 0: { fillTime: 1 } } },
  safe_q: { canopies: { 1: { safeQ: 500 } } },
  safe_speed: { canopies: { 0: { safeSpeed: 50 } } },
}

const CASES: readonly (readonly [string, WholePlan, readonly string[]])[] = [
  [
    'of two stages and a capsule under drogue and main parachute',
    wholeOf(heron, {
      ...hot,
      stages: [
        stage({ drag }),
        stage({
          dryMass: 60,
          propellantMass: 80,
          vacuumThrust: 6000,
          seaLevelThrust: 5000,
          ignitionDelay: 2,
          referenceArea: 0.1,
          drag,
        }),
        { ...capsule, dryMass: 40 },
      ],
      canopies: [canopy({ area: 0.5, altitude: 7000, fillTime: 0 }), canopy({ area: 12, altitude: 1500, safeQ: 2000 })],
    }),
    [
      'load',
      'cap',
      'thrust',
      'impulse',
      'area',
      'launch',
      'nose',
      'drop',
      'ignition',
      'second',
      'canopy',
      'second_canopy',
      'altitude',
      'safe_q',
    ],
  ],
  [
    'off a leaning rail, turned by gravity',
    wholeOf(heron, {
      ...hot,
      railElevation: 1.55,
      railLength: 30,
      stages: [stage({ drag, throttleCap: 0.9 }), capsule],
      canopies: [canopy({ area: 6 })],
    }),
    [
      'load',
      'cap',
      'thrust',
      'impulse',
      'area',
      'launch',
      'elevation',
      'rail',
      'nose',
      'drop',
      'canopy',
      'altitude',
      'fill',
    ],
  ],
  [
    'by a thrust curve',
    wholeOf(heron, {
      railElevation: 1.5,
      railLength: 10,
      shapes: [pchip([0, 0.5, 5, 20, 30], [0.1, 1, 0.8, 0.6, 0])],
      stages: [stage({ propellantMass: 100, exhaustSpeed: 2300 })],
    }),
    ['load', 'cap', 'thrust', 'impulse', 'elevation', 'rail'],
  ],
  [
    'held on the pad',
    wholeOf(heron, { stages: [stage({ throttleCap: 0.2, drag }), capsule] }),
    ['load', 'cap', 'thrust', 'launch', 'drop'],
  ],
  [
    'held on the pad by a thrust curve',
    wholeOf(heron, {
      shapes: [pchip([0, 10, 20, 30], [0.1, 1, 0.8, 0.2])],
      stages: [stage({ propellantMass: 100, vacuumThrust: 8000, seaLevelThrust: 7500, throttleCap: 0.9 })],
    }),
    ['load', 'cap', 'thrust', 'impulse', 'area', 'launch'],
  ],
  [
    'over the Moon',
    wholeOf({ ...heron, body: moon }, { railElevation: 1.2, railLength: 20, stages: [stage({ propellantMass: 100 })] }),
    ['load', 'cap', 'impulse', 'launch', 'elevation', 'rail'],
  ],
  [
    'above exponential air',
    wholeOf(
      { ...heron, body: world },
      {
        railElevation: 1.3,
        railLength: 20,
        space: 60e3,
        stages: [stage({ propellantMass: 200, drag }), capsule],
        canopies: [canopy({ altitude: 4000, safeSpeed: 150 })],
      },
    ),
    ['load', 'cap', 'area', 'launch', 'elevation', 'rail', 'drop', 'safe_speed'],
  ],
  [
    'guided by a pitch table',
    wholeOf(heron, {
      railLength: 20,
      pitch: pchip([0, 15, 60], [Math.PI / 2, Math.PI / 2, 0.9]),
      stages: [stage({ drag }), { ...capsule, drag }],
    }),
    ['load', 'cap', 'thrust', 'impulse', 'area', 'launch', 'rail', 'drop'],
  ],
  [
    'felt most by a rider for an instant, at a burnout and at a drop',
    wholeOf(heron, {
      ...ridden,
      stages: [stage({ separationDelay: 0.7 }), capsule],
      canopies: [canopy({ area: 3, fillTime: 0.6 })],
    }),
    ['load', 'cap', 'thrust', 'area', 'launch', 'drop', 'canopy', 'altitude', 'fill'],
  ],
  [
    'felt by a rider from the highest point on, where a flight that leans is still fast in thick air',
    wholeOf(heron, { ...ridden, railElevation: 0.9, railLength: 10, stages: [stage({ propellantMass: 90 }), capsule] }),
    ['load', 'cap', 'thrust', 'area', 'launch', 'elevation', 'drop'],
  ],
  [
    'felt by a rider whom the last stage drives down',
    wholeOf(heron, {
      ...ridden,
      stages: [
        stage({ propellantMass: 40, throttleCap: 0.35 }),
        stage({ dryMass: 60, propellantMass: 60, ignitionDelay: 25, referenceArea: 0.01 }),
      ],
    }),
    ['load', 'cap', 'area', 'launch', 'drop', 'ignition', 'second'],
  ],
]

describe('the derivatives of a flight to the ground', () => {
  test.each(CASES)(
    '%s are those of differences',
    (_, plan, names) => {
      const levers = names.map(name => LEVERS[name]!)
      const run = flyWholeAt(
        plan,
        levers.map(lever => leverOf(plan, lever)),
        1e-11,
        'with what it drops',
        null,
      )
      const step = 2e-4
      const figures = figureNames(plan.stages.length, plan.canopies.length)
      levers.forEach((lever, l) => {
        const at = (by: number): Float64Array =>
          flyWholeAt(moved(plan, lever, by * step), [], 1e-12, 'with what it drops', null).figures
        const [a, b, c, d] = [at(1), at(-1), at(2), at(-2)]
        let compared = 0
        figures.forEach(({ name, of, index }, k) => {
          const figure = run.figures[k]!
          if (!Number.isFinite(figure)) return
          compared++
          const expected = (8 * (a[k]! - b[k]!) - (c[k]! - d[k]!)) / (12 * step)
          const off = Math.abs(run.slopes[k * levers.length + l]! - expected)
          const scale = Math.max(Math.abs(expected), 0.02 * Math.abs(figure), 1e-6)
          expect(off / scale, `${name} of ${of} ${index} by ${names[l]}`).toBeLessThan(3e-4)
        })
        expect(compared).toBeGreaterThan(25)
      })
    },
    60_000,
  )

  test('by the propellant that a held rocket burns on the pad is nothing but time', () => {
    const plan = wholeOf(heron, { stages: [stage({ throttleCap: 0.2 })] })
    const run = flyWholeAt(plan, [leverOf(plan, LEVERS.load!)], 1e-9, 'with what it drops', null)
    figureNames(1, 0).forEach(({ name }, k) => {
      const timed = ['apoapsis time', 'flight time', 'burn time', 'gravity loss', 'back pressure loss'].includes(name)
      if (!timed && Number.isFinite(run.figures[k]!))
        expect(Math.abs(run.slopes[k]!), name).toBeLessThan(1e-9 * Math.max(1, Math.abs(run.figures[k]!)))
    })
  })
})
