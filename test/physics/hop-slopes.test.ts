import { expect, test } from 'vitest'
import { crewLimit, crewLimitNamed } from '../../sheets/open/crew-limits.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import { constantCurve, pchip } from '../../solver/model/curve.ts'
import { heronPlan } from '../support/vehicles.ts'
import { leverOf, moved, placeIn, stageLike, wholeOf } from '../support/whole.ts'

// The numbers of the example crewed-hop.loft, at settings of about its answer.
const any = Number.POSITIVE_INFINITY
const stage = stageLike({
  dryMass: 700,
  propellantMass: 1800,
  vacuumThrust: 120e3,
  seaLevelThrust: 105e3,
  exhaustSpeed: 250 * 9.80665,
  throttleCap: 0.6,
  referenceArea: (Math.PI * 1.2 ** 2) / 4,
  drag: pchip([0, 0.8, 1.1, 2, 5], [0.35, 0.4, 0.7, 0.5, 0.3]),
})
const plan = wholeOf(heronPlan(0.92, 0.61), {
  noseRadius: 0.9,
  heating: 1.7415e-4,
  crewLimit: crewLimit(crewLimitNamed('launch crew limit')!),
  entryCrewLimit: crewLimit(crewLimitNamed('return crew limit')!),
  stages: [
    stage({ throttleCap: 0.6, separationDelay: 5 }),
    stage({ dryMass: 650, propellantMass: 0, referenceArea: (Math.PI * 1.5 ** 2) / 4, drag: constantCurve(1.3) }),
  ],
  canopies: [
    { area: 3.6, altitude: 7000, fillTime: 0, safeQ: any, safeSpeed: any },
    { area: 128, altitude: 2500, fillTime: 2, safeQ: 2000, safeSpeed: any },
  ],
})
const levers = [{ stages: { 0: { propellantMass: 2400 } } }, { stages: { 0: { throttleCap: 1 } } }]

// Expected: differences over five flights at 1e-12. Found: 5e-5 for the margin on the way up, at most 2e-8 for the others; that on the way down is set
// under the parachute, where no lever of the booster moves it: what is left there is 1.3e-3 for a figure of 3.5.
test('a crewed hop’s margins, max q and its altitude change by propellant and cap as differences say', () => {
  const run = flyWholeAt(
    plan,
    levers.map(lever => leverOf(plan, lever)),
    1e-8,
    'with what it drops',
    null,
  )
  expect(run.outcome).toBe('comes down')
  levers.forEach((lever, l) => {
    const step = 2e-4
    const at = (by: number): Float64Array =>
      flyWholeAt(moved(plan, lever, by * step), [], 1e-12, 'with what it drops', null).figures
    const [a, b, c, d] = [at(1), at(-1), at(2), at(-2)]
    for (const [name, share, rest] of [
      ['ascent crew margin', 2e-4, 0],
      ['entry crew margin', 0, 5e-3],
      ['max q', 1e-6, 0],
      ['max q altitude', 1e-6, 0],
      ['entry q', 1e-6, 0],
      ['peak g', 1e-6, 0],
    ] as const) {
      const k = placeIn(plan, name)
      const expected = (8 * (a[k]! - b[k]!) - (c[k]! - d[k]!)) / (12 * step)
      const off = Math.abs(run.slopes[k * levers.length + l]! - expected)
      expect(off, `${name} by ${l}`).toBeLessThan(share * Math.abs(expected) + rest)
    }
  })
})
