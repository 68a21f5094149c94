import type { JsonNumber } from '../answer.ts'

/** A number of an answer as a double: inasNumber where it says so, no number where it has no value. */
export function asNumber(value: JsonNumber): number {
  if (value === null) return Number.NaN
  return value === 'infinity' ? Number.POSITIVE_INFINITY : value === '-infinity' ? Number.NEGATIVE_INFINITY : value
}
