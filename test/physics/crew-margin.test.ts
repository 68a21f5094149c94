import { describe, expect, test } from 'vitest'
import { crewLimit, crewLimitNamed } from '../../sheets/open/crew-limits.ts'
import { type Felt, type Trace, worstRatio } from '../../solver/flight/whole/crew.ts'
import { flyWholeAt } from '../../solver/flight/whole/fly.ts'
import { heronPlan } from '../support/vehicles.ts'
import { leverOf, moved, placeIn, wholeOf } from '../support/whole.ts'

const G0 = 9.80665
const limit = crewLimit(crewLimitNamed('launch crew limit')!)

/** The launch row of NASA-STD-3001 vol. 2, table 6.5-1 (read second-hand), straight over the logarithm of time, worked out here anew [g0]. */
function rowAt(duration: number): number {
  const between = (t0: number, g0: number, t1: number, g1: number): number =>
    g0 + ((g1 - g0) * Math.log(duration / t0)) / Math.log(t1 / t0)
  if (duration <= 0.5) return 19
  if (duration <= 5) return between(0.5, 19, 5, 16)
  return duration <= 300 ? between(5, 16, 300, 7.5) : 7.5
}

function moment(time: number, felt: number, rate: number, slope = 0): Felt {
  return { time, felt, rate, slopes: Float64Array.of(slope), shift: null }
}

describe('the crew margin', () => {
  test('of 8 g0 for 40 s is the limit for 40 s over it', () => {
    const felt = 8 * G0
    const trace: Trace = [moment(0, 0, 0), moment(10, 0, 0), moment(10, felt, 0), moment(50, felt, 0), moment(50, 0, 0)]
    expect(rowAt(40)).toBeCloseTo(11.7, 1)
    expect(worstRatio(trace, limit)!.value).toBeCloseTo(rowAt(40) / 8, 9)
  })

  test('of two such pulses with a pause is that of one: an exceedance is continuous', () => {
    const felt = 8 * G0
    const pulse = (t: number): Trace => [
      moment(t, 1, 0),
      moment(t, felt, 0),
      moment(t + 20, felt, 0),
      moment(t + 20, 1, 0),
    ]
    expect(worstRatio([...pulse(0), ...pulse(21)], limit)!.value).toBeCloseTo(rowAt(20) / 8, 9)
  })

  // A parabola is a cubic: what is felt for all 40 s is its lowest point, between the moments. It moves with that point.
  test('of what dips between two moments is by the dip, and so are its slopes', () => {
    const [low, high] = [8 * G0, 8.4 * G0]
    const rate = (4 * (high - low)) / 40
    const trace: Trace = [moment(0, 0, 0), moment(0, high, -rate, 1), moment(40, high, rate, 3), moment(40, 0, 0)]
    const { value, slopes } = worstRatio(trace, limit)!
    expect(value).toBeCloseTo(rowAt(40) / 8, 9)
    expect(slopes[0]!).toBeCloseTo((-2 * rowAt(40)) / (64 * G0), 6)
  })

  test('of half a sine is the least over its levels, each felt for T (1 − 2 asin(g/A)/π)', () => {
    const [top, length, count] = [60, 40, 200]
    const trace = Array.from({ length: count + 1 }, (_, k) => {
      const t = (length * k) / count
      const angle = (Math.PI * t) / length
      return moment(t, top * Math.sin(angle), ((top * Math.PI) / length) * Math.cos(angle), Math.sin(angle))
    })
    let least = Number.POSITIVE_INFINITY
    for (let share = 1e-4; share < 1; share += 1e-5)
      least = Math.min(least, (rowAt(length * (1 - (2 * Math.asin(share)) / Math.PI)) * G0) / (top * share))
    const { value, slopes } = worstRatio(trace, limit)!
    expect(value).toBeCloseTo(least, 6)
    // All levels grow with the height: so does the ratio fall.
    expect(slopes[0]!).toBeCloseTo(-least / top, 4)
  })

  // The row of 300 s ends the table: below it longer costs, beyond it more costs, so that just 300 s count, however the level moves.
  test('of what fades slowly is by the last row, and moves with what is felt for so long', () => {
    const [top, fade] = [1.2 * G0, 5e-4 * G0]
    const trace: Trace = [
      moment(0, 0, 0),
      moment(0, top, -fade, 1),
      moment(1000, top - 1000 * fade, -fade, 1 - 1000 * 0.002),
      moment(1000, 0, 0),
    ]
    const { value, slopes } = worstRatio(trace, limit)!
    expect(value).toBeCloseTo(7.5 / 1.05, 9)
    // By the lane the level at 300 s rises by 1 − 300 × 0.002.
    expect(slopes[0]! / ((-7.5 * 0.4) / (1.05 ** 2 * G0))).toBeCloseTo(1, 6)
  })

  test('of a flight up and down, parachutes included, holds still over tolerances, and its slopes are those of differences', () => {
    const heron = heronPlan(0.92, 0.61)
    const capsule = { ...heron.stages[0]!, dryMass: 60, propellantMass: 0, separationDelay: 0, ignitionDelay: 0 }
    const plan = wholeOf(heron, {
      crewLimit: limit,
      entryCrewLimit: limit,
      stages: [{ ...heron.stages[0]!, separationDelay: 3, ignitionDelay: 0 }, capsule],
      canopies: [
        { area: 4, altitude: 5000, fillTime: 1, safeQ: Number.POSITIVE_INFINITY, safeSpeed: Number.POSITIVE_INFINITY },
      ],
    })
    const levers = [
      { stages: { 0: { propellantMass: 100 } } },
      { stages: { 0: { throttleCap: 1 } } },
      { canopies: { 0: { area: 1 } } },
    ]
    const run = flyWholeAt(
      plan,
      levers.map(lever => leverOf(plan, lever)),
      1e-8,
      'with what it drops',
      null,
    )
    for (const name of ['ascent crew margin', 'entry crew margin', 'crew margin']) {
      const place = placeIn(plan, name)
      const at = (by: number, lever = levers[0]!): number =>
        flyWholeAt(moved(plan, lever, by), [], 1e-10, 'with what it drops', null).figures[place]!
      expect(Math.abs(run.figures[place]! - at(0))).toBeLessThan(1e-6)
      levers.forEach((lever, l) => {
        const expected = (at(1e-3, lever) - at(-1e-3, lever)) / 2e-3
        const off = Math.abs(run.slopes[place * levers.length + l]! - expected)
        expect(off / Math.max(Math.abs(expected), 0.1), `${name} by ${l}`).toBeLessThan(2e-2)
      })
    }
  })
})
