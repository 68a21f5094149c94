import { describe, expect, test } from 'vitest'
import { airAt, airSlope, EARTH } from '../../solver/flight/air.ts'
import {
  fitMach,
  fitStep,
  machAt,
  machBendAt,
  machPushAt,
  pushAt,
  riseAt,
  speedAt,
} from '../../solver/flight/hermite.ts'
import { type Direction, FLOWN, fly, type Plan } from '../../solver/flight/index.ts'
import { climbLayer, setAir } from '../../solver/flight/layers.ts'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import { earthProfile, SEGMENT } from '../../solver/flight/profile.ts'
import { densityBend, segmentAt } from '../../solver/flight/rates.ts'
import { createWorkspace } from '../../solver/flight/workspace.ts'
import { MOON, marsBody } from '../../solver/flight/worlds.ts'
import { directionOf, randomPlan } from '../support/vehicles.ts'

// Source: a loose flight is the tight one but for its errors; the parts that only some grades use, against formulas and differences.

describe('a looser flight', () => {
  const levers = (plan: Plan): Direction[] => [
    directionOf({ propellantMass: plan.stages[0]!.propellantMass }, plan),
    directionOf({ throttleCap: 1, referenceArea: 0.05 }, plan),
    directionOf({}, plan, 1000),
  ]
  test.each([
    ['loose', 0.03, 0.1, 0.12],
    ['medium', 2e-3, 0.02, 0],
  ] as const)(
    '(%s) is the tight one, and has its slopes, to %d and %d but for a share of %d',
    (accuracy, within, slopesWithin, share) => {
      let compared = 0
      let off = 0
      for (let k = 0; k < 60; k++) {
        const plan = randomPlan(k)
        const directions = levers(plan)
        const [rough, tight] = [fly(plan, directions, accuracy), fly(plan, directions, 'tight')]
        expect([k, rough.outcome]).toEqual([k, tight.outcome])
        FLOWN.forEach((name, f) => {
          const [a, b] = [rough.figures[f]!, tight.figures[f]!]
          if (!Number.isFinite(b)) {
            expect([k, name, a]).toEqual([k, name, b])
            return
          }
          compared++
          if (!(Math.abs(a - b) <= within * Math.max(1, Math.abs(b)))) off++
          directions.forEach((_, l) => {
            const [p, q] = [rough.slopes[3 * f + l]!, tight.slopes[3 * f + l]!]
            const scale = Math.max(Math.abs(q), 0.1 * Math.abs(b), 1)
            if (!(Math.abs(p - q) / scale < slopesWithin)) off++
          })
        })
        if (tight.outcome === 'comes down') expect(rough.evaluations).toBeLessThanOrEqual(tight.evaluations)
      }
      expect(compared).toBeGreaterThan(600)
      expect(off).toBeLessThanOrEqual(share * compared)
    },
  )
})

test('a segment of the profile is found by its altitude, the nearest one beyond the ends', () => {
  const { air, byKilometre } = earthProfile()
  const last = air.length / SEGMENT - 1
  const start = (k: number): number => air[SEGMENT * k]!
  const altitudes = Array.from({ length: last + 1 }, (_, k) => start(k)).flatMap(h => [h - 1e-3, h, h + 1e-3, h + 333])
  for (const h of [...altitudes, -9000, -5000, 85999, 999999, 1.2e6, 1e9]) {
    const k = segmentAt(air, byKilometre, h)
    if (k > 0) expect(start(k)).toBeLessThanOrEqual(h)
    if (k < last) expect(start(k + 1)).toBeGreaterThan(h)
  }
})

test.each<[string, BodyNumbers, readonly number[]]>([
  ['the standard air', EARTH, [0, 3000, 11500, 19000, 30000, 45000, 52000, 75000, 92300, 131300]],
  ['Mars', marsBody(), [0, 3000, 8000, 40000]],
  [
    'exponential air',
    {
      radius: 6e5,
      gravity: 3,
      air: { kind: 'exponential', pressure: 1e5, density: 2, scaleHeight: 6000, soundSpeed: 300, top: 6e4 },
    },
    [0, 5000, 30000],
  ],
  ['none', MOON, [0, 5000]],
])('how density bends in %s is what differences of its slope say, however it is flown', (_, body, altitudes) => {
  for (const loose of [false, true])
    for (const launchAltitude of altitudes) {
      const w = { ...createWorkspace(), loose }
      setAir(w, { body, launchAltitude }, null)
      for (const h of [launchAltitude, launchAltitude + 700]) {
        const expected = (airSlope(body, 'density', h + 5) - airSlope(body, 'density', h - 5)) / 10
        const size = airAt(body, 'density', h) / 1e8
        expect(Math.abs(densityBend(w, h) - expected), `${h}`).toBeLessThanOrEqual(
          5e-3 * Math.abs(expected) + 1e-3 * size,
        )
      }
    }
})

test('air is climbed layer by layer, but as one in a loose flight', () => {
  const tops = (loose: boolean): number[] => {
    const w = { ...createWorkspace(), loose }
    setAir(w, { body: EARTH, launchAltitude: 12000 }, null)
    const found: number[] = []
    while (w.edge < Number.POSITIVE_INFINITY && found.length < 20) {
      found.push(Math.round(w.edge))
      climbLayer(w, w.edge)
    }
    expect([w.airKind, w.table]).toEqual(['none', false])
    return found
  }
  expect(tops(true)).toEqual([1e6])
  // The tops of the standard's layers, in geometric metres.
  expect(tops(false)).toEqual([20063, 32162, 47350, 51412, 71802, 86000, 1e6])
})

test('between the ends of a step speed is their quintic, altitude its integral, mach their cubic', () => {
  const w = createWorkspace()
  const dt = 0.4
  w.step = dt
  const [from, to] = w.ends
  const poly = (c: readonly number[], e: number): number => c.reduceRight((sum, each) => sum * e + each, 0)
  const derivative = (c: readonly number[]): number[] => c.slice(1).map((each, k) => each * (k + 1))
  const speed = [300, 20, -7, 4, 3, -2]
  const mach = [0.9, 0.05, -0.03, 0.02]
  for (const [end, e] of [
    [from, -1],
    [to, 0],
  ] as const) {
    end.speed = poly(speed, e)
    end.acceleration = poly(derivative(speed), e) / dt
    end.jerk = poly(derivative(derivative(speed)), e) / dt ** 2
    end.mach = poly(mach, e)
    end.machRate = poly(derivative(mach), e) / dt
  }
  fitStep(w, from, to)
  fitMach(w, from, to)
  const integral = [0, ...speed.map((each, k) => each / (k + 1))]
  for (const e of [-1, -0.7, -0.31, 0, 0.05]) {
    expect(speedAt(w, e)).toBeCloseTo(poly(speed, e), 10)
    expect(pushAt(w, e)).toBeCloseTo(poly(derivative(speed), e), 10)
    expect(riseAt(w, e)).toBeCloseTo(dt * poly(integral, e), 10)
    expect(machAt(w, e)).toBeCloseTo(poly(mach, e), 12)
    expect(machPushAt(w, e)).toBeCloseTo(poly(derivative(mach), e), 12)
    expect(machBendAt(w, e)).toBeCloseTo(poly(derivative(derivative(mach)), e), 12)
  }
})
