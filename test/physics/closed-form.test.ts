import { describe, expect, test } from 'vitest'
import { airAt, EARTH, FLOWN, type FlownName, fly, type Plan } from '../../solver/flight/index.ts'
import { BURNS, burnPlan, COASTS, coastPlan, RISES, risePlan } from '../outside/closed-forms.ts'

const G0 = 9.80665

function figures(plan: Plan): Record<FlownName, number> {
  const flown = fly(plan, [], 'tight')
  return Object.fromEntries(FLOWN.map((name, i) => [name, flown.figures[i]!])) as Record<FlownName, number>
}

describe('a burn straight up in uniform gravity without drag', () => {
  test.each(BURNS)('of mass ratio $ratio in $burn s gives the closed form', it => {
    const found = figures(burnPlan(it))
    expect(found['burnout speed']).toBeCloseTo(it.speed, 5)
    expect(found['burnout altitude']).toBeCloseTo(it.altitude, 4)
    expect(found.apoapsis).toBeCloseTo(it.apex, 3)
    expect(found['apoapsis time']).toBeCloseTo(it.time, 5)
    expect(found['peak g'] / G0).toBeCloseTo(it.felt, 5)
    // The rocket equation: what gravity left of c ln R.
    expect(found['burnout speed'] + found['gravity loss']).toBeCloseTo(it.c * Math.log(it.ratio), 8)
    expect(found['gravity loss']).toBeCloseTo(G0 * it.burn, 5)
  })
})

describe('a coast straight up against inverse-square gravity', () => {
  test.each(COASTS)('begun at %i m/s tops out at %f m', (speed, height) => {
    const found = figures(coastPlan(speed))
    expect(found['burnout speed']).toBeCloseTo(speed, 6)
    // The burn itself rises half a millimetre or so.
    expect(Math.abs(found.apoapsis - height)).toBeLessThan(2e-3)
  })
})

describe('a powered rise of constant mass in uniform air with quadratic drag', () => {
  test.each(RISES)('of $mass kg under $thrust N gives the closed form', it => {
    const found = figures(risePlan(it))
    expect(found['burnout speed']).toBeCloseTo(it.speed, 5)
    expect(found['burnout altitude']).toBeCloseTo(it.altitude, 5)
    expect(found.apoapsis).toBeCloseTo(it.apex, 4)
    expect(found['max q']).toBeCloseTo(0.5 * 1.225 * it.speed ** 2, 1)
    expect(found['max mach']).toBeCloseTo(it.speed / 340, 6)
  })
})

// Dynamic pressure and mach in the 1976 standard, worked from its table.
describe('dynamic pressure and mach', () => {
  test.each([
    [11000, 340, 21085.5304, 1.151942],
    [13400, 500, 31295.6492, 1.694515],
    [30000, 900, 7456.119, 2.983009],
  ])('at %i m and %i m/s', (altitude, speed, q, mach) => {
    expect(0.5 * airAt(EARTH, 'density', altitude) * speed ** 2).toBeCloseTo(q, 2)
    expect(speed / airAt(EARTH, 'sound speed', altitude)).toBeCloseTo(mach, 6)
  })
})
