import { describe, expect, test } from 'vitest'
import { VOYAGES } from '../outside/voyages.ts'
import { referenceWhole } from '../support/reference-whole.ts'
import { flown } from '../support/whole.ts'

// Expected: support/reference-whole.ts, the same flight in Cartesian coordinates by odex, an independent integrator, at 1e-12.

describe('an independent integration of the whole flight agrees with every figure within 1e-6', () => {
  test.each(VOYAGES)(
    '%s',
    (_, plan, least) => {
      const reference = referenceWhole(plan)
      const ours = flown(plan)
      expect(ours.outcome).toBe('comes down')
      let compared = 0
      for (const [name, value] of Object.entries(reference)) {
        const opening = /^(opening .*) (\d)$/.exec(name)
        const figure = opening ? ours.at(opening[1]!, Number(opening[2]), 'canopy') : ours.at(name)
        // Peaks of the reference are the largest of samples: a little low.
        const within = /peak g|max q|entry|opening g/.test(name) ? 1e-4 : 1e-6
        expect(Math.abs(figure - value) / Math.max(1, Math.abs(value)), name).toBeLessThan(within)
        compared++
      }
      expect(compared).toBeGreaterThanOrEqual(least)
    },
    60_000,
  )
})
