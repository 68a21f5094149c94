import { describe, expect, test } from 'vitest'
import { airAt, EARTH } from '../../solver/flight/air.ts'
import { airByTable } from '../../solver/flight/air-table.ts'
import type { BodyNumbers } from '../../solver/flight/plan.ts'
import { us76 } from '../../solver/flight/us76.ts'
import { warmDay } from '../../solver/flight/warm-day.ts'
import { airInto, airOf, layerAt } from '../../solver/flight/whole/air.ts'
import { createPoint, H } from '../../solver/flight/whole/point.ts'
import { MOON, marsBody } from '../../solver/flight/worlds.ts'
import { heronPlan } from '../support/vehicles.ts'
import { flown, wholeOf } from '../support/whole.ts'

const heron = heronPlan(0.92, 0.61)

describe('a hot or cold day', () => {
  test('of no offset is the standard, below 80 km in temperature too', () => {
    const air = warmDay(0)
    for (const h of [-1000, 0, 5000, 11019, 15000, 30000, 50000, 70000, 79000, 90000, 200000]) {
      const [ours, standard] = [air.state(h), us76(h)]
      expect(Math.abs(ours.pressure / standard.pressure - 1)).toBeLessThan(1e-12)
      expect(Math.abs(ours.density / standard.density - 1)).toBeLessThan(1e-12)
      expect(Math.abs(ours.temperature / standard.temperature - 1)).toBeLessThan(1e-12)
    }
  })

  test('has the same pressure at sea level and the density of the gas law: 1.225 × 288.15/308.15 kg/m3 at 20 K more', () => {
    const air = warmDay(20)
    expect(air.state(0).pressure).toBe(101325)
    expect(air.state(0).density).toBeCloseTo((1.224999 * 288.15) / 308.15, 6)
  })

  test.each([-30, 15])('of %d K is in hydrostatic balance at every height: dp/dh = −ρ g', offset => {
    const air = warmDay(offset)
    for (let h = 200; h < 85000; h += 1234) {
      const [above, below] = [air.state(h + 1).pressure, air.state(h - 1).pressure]
      const weight = air.state(h).density * airAt(EARTH, 'gravity', h)
      expect(Math.abs((below - above) / 2 / weight - 1)).toBeLessThan(1e-5)
      expect(air.slope(h).pressure / -weight).toBeCloseTo(1, 9)
      expect(air.state(h).temperature - us76(h).temperature).toBeCloseTo(offset, 1)
    }
  })

  test('flies with a profile that keeps its formulas', () => {
    const flight = (offset: number): number =>
      flown(wholeOf({ ...heron, body: { ...EARTH, air: warmDay(offset) } })).at('apoapsis')
    expect(flight(0)).toBeCloseTo(flown(wholeOf(heron)).at('apoapsis'), 3)
    // Warm air is thinner at the ground but reaches higher: at 15 km it is denser, and most of this drag is met there.
    expect(warmDay(25).state(0).density).toBeLessThan(us76(0).density)
    expect(warmDay(25).state(15000).density).toBeGreaterThan(us76(15000).density)
    expect(flight(25)).toBeLessThan(flight(0))
    expect(flight(-25)).toBeGreaterThan(flight(0))
  })
})

describe('other worlds', () => {
  // The escape speed of the Moon as fact sheets print it (NSSDC: 2.38 km/s).
  test('the Moon is left at 2.38 km/s', () => {
    expect(Math.sqrt(2 * MOON.gravity * MOON.radius) / 1000).toBeCloseTo(2.38, 2)
    expect(MOON.gravity).toBeCloseTo(1.62, 2)
  })

  // NASA Glenn's Mars model at the ground: −31 °C, 0.699 kPa, ρ = p/(0.1921 T) (from memory); NSSDC: about 0.020 kg/m3 and 6.36 mbar at the mean radius.
  test('Mars has the air of its published profile', () => {
    const mars = marsBody()
    expect(airAt(mars, 'temperature', 0)).toBeCloseTo(242.1, 6)
    expect(airAt(mars, 'pressure', 0)).toBe(699)
    expect(airAt(mars, 'density', 0)).toBeCloseTo(0.01503, 5)
    expect(airAt(mars, 'pressure', 20000)).toBeCloseTo(699 * Math.exp(-1.8), 9)
    expect(airAt(mars, 'density', 90000)).toBe(0)
    expect(mars.gravity).toBeCloseTo(3.73, 2)
  })
})

describe('air by a table', () => {
  const radius = 4e6
  const gravity = 6
  const scale = 7000
  const altitude = Float64Array.from({ length: 13 }, (_, k) => 5000 * k)
  const exponential = (at0: number): Float64Array => altitude.map(h => at0 * Math.exp(-h / scale))

  test('whose rows fall exponentially is flown as exponential air', () => {
    const rows = { altitude, temperature: null, pressure: exponential(8e4), density: exponential(1.1) }
    const table: BodyNumbers = { radius, gravity, air: airByTable(rows, radius, gravity, 310) }
    const closed: BodyNumbers = {
      radius,
      gravity,
      air: { kind: 'exponential', pressure: 8e4, density: 1.1, scaleHeight: scale, soundSpeed: 310, top: 60000 },
    }
    const [a, b] = [table, closed].map(body => flown(wholeOf({ ...heron, body })))
    for (const name of ['apoapsis', 'max q', 'max q altitude', 'max mach', 'drag loss', 'entry g', 'touchdown speed'])
      expect(Math.abs(a!.at(name) / b!.at(name) - 1), name).toBeLessThan(1e-6)
  })

  // A solve asks for it in turn by a sound speed of zero and of none, and for the air of every body of the sheet.
  test('is laid out once, however it is asked for, and anew where its body is another', () => {
    const rowsOf = (ground: number) => ({
      altitude,
      temperature: null,
      pressure: exponential(ground),
      density: exponential(1),
    })
    const [one, other] = [rowsOf(8e4), rowsOf(7e4)]
    const air = airByTable(one, radius, gravity, Number.NaN)
    airByTable(other, radius, gravity, Number.NaN)
    expect(airByTable(one, radius, gravity, 0)).toBe(air)
    const fast = airByTable(one, radius, gravity, 310)
    expect([fast.state(0).soundSpeed, air.state(0).soundSpeed]).toEqual([310, expect.closeTo(Math.sqrt(1.4 * 8e4), 9)])
  })

  // Source: SciPy 1.17's PchipInterpolator over ln p and ln ρ of these rows, and √(1.4 p/ρ).
  test('that bends without falling much is flown as its curves say', () => {
    const rows = {
      altitude: Float64Array.of(0, 9106, 18290, 26210, 29590),
      temperature: null,
      pressure: Float64Array.of(45650, 34380, 25720, 19720, 17250),
      density: Float64Array.of(0.6326, 0.4838, 0.3835, 0.3472, 0.288),
    }
    const air = airOf({ radius, gravity, air: airByTable(rows, radius, gravity, Number.NaN) }, false)
    const point = createPoint()
    for (const [h, pressureThere, densityThere, sound] of [
      [500, 44949.7047223, 0.622742138053, 317.887398872],
      [4000, 40325.0695125, 0.559611690873, 317.620255523],
      [12345, 31067.3080167, 0.441742097514, 313.784462439],
      [20000, 24333.7080257, 0.374805570128, 301.48460898],
      [25000, 20596.7551633, 0.35529915899, 284.882867005],
      [26500, 19509.2424178, 0.344515974009, 281.565564029],
      [27500, 18774.9970387, 0.329871223542, 282.281060759],
      [28500, 18039.3712709, 0.310285588501, 285.294838058],
      [29500, 17314.3647734, 0.289775214218, 289.225567231],
    ] as const) {
      point.state[H] = h
      airInto(air, layerAt(air, h, true), point)
      expect(Math.abs(point.pressure / pressureThere - 1), `pressure at ${h} m`).toBeLessThan(2e-9)
      expect(Math.abs(point.density / densityThere - 1), `density at ${h} m`).toBeLessThan(2e-9)
      expect(Math.abs(point.slowness * sound - 1), `sound speed at ${h} m`).toBeLessThan(2e-9)
    }
  })

  // Isothermal air over a plain of constant gravity: p = p0 exp(−g h/(R T)), ρ = p/(R T).
  const flat = 1e12
  const [gas, warmth] = [287, 250]
  const height = (gas * warmth) / gravity
  const pressure = altitude.map(h => 5e4 * Math.exp(-h / height))
  const density = pressure.map(p => p / (gas * warmth))
  const temperature = altitude.map(() => warmth)
  test.each([
    ['temperature and pressure', { altitude, temperature, pressure, density: null }],
    ['temperature and density', { altitude, temperature, pressure: null, density }],
    ['pressure alone', { altitude, temperature: null, pressure, density: null }],
    ['density alone', { altitude, temperature: null, pressure: null, density }],
  ])('with %s tells the rest', (_, rows) => {
    const air = airByTable(rows, flat, gravity, 300)
    for (const h of [0, 3000, 20000, 44000]) {
      const it = air.state(h)
      expect(it.pressure / (5e4 * Math.exp(-h / height))).toBeCloseTo(1, 5)
      expect(it.density / ((5e4 / (gas * warmth)) * Math.exp(-h / height))).toBeCloseTo(1, 5)
    }
  })
})
