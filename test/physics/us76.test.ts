import { describe, expect, test } from 'vitest'
import { airAt, EARTH } from '../../solver/flight/index.ts'
import { buildProfile, SEGMENT } from '../../solver/flight/profile.ts'
import { us76 } from '../../solver/flight/us76.ts'
import { airRows } from '../outside/air-rows.ts'

// Source of all values here: U.S. Standard Atmosphere, 1976 (NOAA-S/T 76-1562, NASA-TM-X-74335). Which printed values were read
// and which are from memory stands in the last column of the data.

/** Half a unit of the last digit printed, once more for figures that were cut instead of rounded. */
function lastDigit(text: string): number {
  const [mantissa, exponent] = text.toLowerCase().split('e')
  const places = mantissa!.split('.')[1]?.length ?? 0
  return 10 ** (Number(exponent ?? 0) - places)
}

const COLUMNS = [
  ['temperature', 'T_K'],
  ['pressure', 'p_Pa'],
  ['density', 'rho_kg_m3'],
  ['soundSpeed', 'a_m_s'],
] as const

describe('the 1976 standard below 86 km', () => {
  const lower = airRows('us76_lower_0_86km.csv')

  test('has fifty altitudes to be compared at', () => expect(lower.length).toBe(50))

  test.each(lower)('agrees at $Z_km km with the printed table to 1e-4 or its last digit', row => {
    const state = us76(1000 * Number(row.Z_km))
    let compared = 0
    for (const [property, column] of COLUMNS) {
      const printed = row[`${column}_table`]
      if (!printed) continue
      compared++
      const tolerance = Math.max(1e-4 * Number(printed), lastDigit(printed))
      expect(
        Math.abs(state[property] - Number(printed)),
        `${property} ${state[property]} for ${printed}`,
      ).toBeLessThanOrEqual(tolerance)
    }
    // The computed columns, from the standard's own constants, carry seven figures; kinetic temperature above 80 km differs by M/M0.
    for (const [property, column] of COLUMNS) {
      const computed = row[`${column}_calc`]!
      compared++
      // At 86 km the upper table takes over, which carries four or five figures.
      const share = property === 'temperature' ? 5e-4 : row.Z_km === '86' ? 5e-5 : 1e-6
      const tolerance = Math.max(share * Number(computed), lastDigit(computed))
      expect(
        Math.abs(state[property] - Number(computed)),
        `${property} ${state[property]} for ${computed}`,
      ).toBeLessThanOrEqual(tolerance)
    }
    expect(compared).toBeGreaterThanOrEqual(4)
  })

  test('has the gravity of the standard, which falls with the square of the distance', () => {
    for (const row of lower)
      expect(airAt(EARTH, 'gravity', 1000 * Number(row.Z_km))).toBeCloseTo(Number(row.g_m_s2_calc), 4)
  })
})

describe('the 1976 standard from 86 to 1000 km', () => {
  const upper = airRows('us76_upper_86_1000km.csv')

  test.each(upper)(
    'agrees at $Z_km km with the computed table it is read from, and with the printed one to 0.2 %',
    row => {
      // The last row is the top: at it there is air, a hair above it none.
      const state = us76(1000 * Number(row.Z_km))
      // At a knot of the interpolation only the digits of the table are lost; at 86 km the formulas below meet it to 1e-4.
      expect(Math.abs(state.pressure / Number(row.p_Pa_calc) - 1)).toBeLessThan(1e-4)
      expect(Math.abs(state.density / Number(row.rho_kg_m3_calc) - 1)).toBeLessThan(2e-4)
      expect(Math.abs(state.temperature - Number(row.T_K_calc))).toBeLessThan(0.1)
      if (row.p_Pa_table) expect(Math.abs(state.pressure / Number(row.p_Pa_table) - 1)).toBeLessThan(2e-3)
      if (row.rho_kg_m3_table) expect(Math.abs(state.density / Number(row.rho_kg_m3_table) - 1)).toBeLessThan(2e-3)
    },
  )
})

describe('the air as the integrator reads it', () => {
  test('is that of the formulas to 1e-9, from the sea to 86 km, and of the interpolated table above', () => {
    const { air } = buildProfile(1e6)
    let worst = 0
    for (let at = 0; at < air.length; at += SEGMENT) {
      const [start, width] = [air[at]!, 1 / air[at + 1]!]
      for (const share of [0.05, 0.3, 0.5, 0.77, 0.95]) {
        const state = us76(start + share * width)
        const value = (from: number): number => {
          let sum = 0
          for (let k = 5; k >= 0; k--) sum = sum * share + air[at + from + k]!
          return sum
        }
        const [p, rho] = [value(2), value(8)]
        worst = Math.max(worst, Math.abs(p / state.pressure - 1), Math.abs(rho / state.density - 1))
      }
    }
    expect(worst).toBeGreaterThan(0)
    expect(worst).toBeLessThan(1e-9)
  })
})
