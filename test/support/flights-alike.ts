import { expect } from 'vitest'
import { FLOWN, type FlownName, fly, type Plan } from '../../solver/flight/index.ts'
import { referenceFlight } from './reference-flight.ts'

/** Every figure that the reference gives, within 1e-6 of it, relative or of one unit where it is smaller. */
export function expectAlike(plan: Plan): void {
  const flown = fly(plan, [], 'tight')
  const { outcome, ...figures } = referenceFlight(plan)
  expect(flown.outcome).toBe(outcome)
  let compared = 0
  for (const [name, value] of Object.entries(figures) as [FlownName, number][]) {
    const found = flown.figures[FLOWN.indexOf(name)]!
    if (!Number.isFinite(value)) {
      expect(found, name).toBe(value)
      continue
    }
    compared++
    expect(Math.abs(found - value) / Math.max(1, Math.abs(value)), `${name}: ${found} for ${value}`).toBeLessThan(1e-6)
  }
  expect(compared).toBeGreaterThan(0)
}
