import fc from 'fast-check'
import { expect, test } from 'vitest'
import { halved, impossibleSets, type Mask, placesOf, Together } from '../../solver/conflict/sets.ts'

// Reference: every subset tried, from the definition alone.
function allIrreducible(count: number, possible: readonly Mask[]): Mask[] {
  const impossible = (set: Mask): boolean => !possible.some(met => (set & ~met) === 0n)
  const found: Mask[] = []
  for (let set = 1n; set < 1n << BigInt(count); set++) {
    if (impossible(set) && placesOf(set).every(place => !impossible(set & ~(1n << BigInt(place))))) found.push(set)
  }
  return found.sort((a, b) => placesOf(a).length - placesOf(b).length)
}

const world = fc.integer({ min: 1, max: 11 }).chain(count =>
  fc.record({
    count: fc.constant(count),
    possible: fc.array(fc.bigInt({ min: 0n, max: (1n << BigInt(count)) - 2n }), { minLength: 1, maxLength: 12 }),
  }),
)

test('the sets found are those of the definition, fewest targets first, whether they are asked for or known', () => {
  fc.assert(
    fc.property(world, fc.boolean(), ({ count, possible }, known) => {
      const together = new Together()
      if (known) for (const met of possible) together.add(met)
      const ask = (mask: Mask) => {
        const met = possible.find(each => (mask & ~each) === 0n)
        return met === undefined ? ('impossible' as const) : { met }
      }
      const all = allIrreducible(count, possible)
      const sets = impossibleSets(count, together, ask, { most: 3, questions: 1000 })
      for (const set of sets) expect(all).toContain(set)
      expect(new Set(sets).size).toBe(sets.length)
      expect(sets.map(set => placesOf(set).length)).toEqual(all.slice(0, 3).map(set => placesOf(set).length))
    }),
    { numRuns: 300 },
  )
})

test('with few questions there is still one set, irreducible as far as it was answered', () => {
  fc.assert(
    fc.property(world, fc.integer({ min: 0, max: 3 }), ({ count, possible }, questions) => {
      const ask = (mask: Mask) =>
        possible.some(each => (mask & ~each) === 0n) ? { met: mask } : ('impossible' as const)
      const sets = impossibleSets(count, new Together(), ask, { most: 3, questions })
      expect(sets.length).toBeGreaterThan(0)
      for (const set of sets) expect(allIrreducible(count, possible)).toContain(set)
    }),
    { numRuns: 200 },
  )
})

test('halving asks few questions for a small set among many targets', () => {
  const culprits = (1n << 17n) | (1n << 90n)
  let asked = 0
  const set = halved((1n << 128n) - 1n, mask => {
    asked++
    return (mask & culprits) === culprits
  })
  expect(set).toBe(culprits)
  expect(asked).toBeLessThan(40)
})
