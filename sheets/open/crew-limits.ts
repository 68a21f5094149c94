import type { CrewLimitModel, Curve } from '../../solver/index.ts'

const STANDARD_GRAVITY = 9.80665 // m/s2, 3rd CGPM (1901)

/**
 * Sustained acceleration chest to back (+Gx, "eyeballs in"), seated, as [duration s, g0]: NASA-STD-3001 vol. 2 rev. F, table 6.5-1,
 * requirement V2 6064, read second-hand. Between the points straight over the logarithm of time, as the standard's chart has it (from memory);
 * shorter exposures than half a second come under other rules there. Other directions have lower limits.
 */
const POINTS: Readonly<Record<string, readonly (readonly [number, number])[]>> = {
  'launch crew limit': [
    [0.5, 19],
    [5, 16],
    [300, 7.5],
  ],
  'return crew limit': [
    [0.5, 14],
    [10, 10],
    [30, 8],
    [50, 6.3],
    [90, 5],
    [120, 4.3],
    [150, 4],
  ],
  'emergency crew limit': [
    [0.5, 38],
    [120, 8.8],
    [300, 7.5],
    [1200, 5],
  ],
}

const LIMITS = new Map(Object.entries(POINTS).map(([name, points]) => [name, straight(points)]))

/** Names of the limits that come with the program. */
export const CREW_LIMITS: readonly string[] = [...LIMITS.keys()]

/** A limit that comes with the program, over the logarithm of its duration, or undefined. */
export function crewLimitNamed(name: string): Curve | undefined {
  return LIMITS.get(name)
}

/** A limit as the solver takes it: those of the program go by the logarithm of time, a sheet's own table by time. */
export function crewLimit(curve: Curve): CrewLimitModel {
  return { curve, overLogarithm: [...LIMITS.values()].includes(curve) }
}

/** Straight lines over the logarithm of time. */
function straight(points: readonly (readonly [number, number])[]): Curve {
  const knots = Float64Array.from(points, ([seconds]) => Math.log(seconds))
  const values = points.map(([, g]) => g * STANDARD_GRAVITY)
  const coefficients = new Float64Array(4 * (points.length - 1))
  for (let k = 0; k + 1 < points.length; k++) {
    coefficients[4 * k] = values[k]!
    coefficients[4 * k + 1] = (values[k + 1]! - values[k]!) / (knots[k + 1]! - knots[k]!)
  }
  return { knots, coefficients }
}
