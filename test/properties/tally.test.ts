import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { VariantCell, VariantColumn } from '../../sheets/variants/answer.ts'
import { emptyTally, Tally } from '../../sheets/variants/tally.ts'

const COLUMNS: readonly VariantColumn[] = [
  { header: 'variant', role: 'variant', name: 'variant', unit: '' },
  { header: 'label', role: 'varied', name: 'label', unit: '' },
  { header: 'a', role: 'varied', name: 'a', unit: '' },
  { header: 'outcome', role: 'outcome', name: 'outcome', unit: '' },
  { header: 'x', role: 'value', name: 'x', unit: '', sense: 'most' },
  { header: 'margin of x', role: 'margin', name: 'margin of x', unit: '', level: 'must' },
  { header: 'margin of y', role: 'margin', name: 'margin of y', unit: '', level: 'should' },
  { header: 'problem', role: 'problem', name: 'problem', unit: '' },
]

const margin = fc.constantFrom<VariantCell>(-1, 0, 0.5, null, 'infinity')
const row = fc.tuple(
  // More sorts of problems and more values than are kept apart, and names that every object has.
  fc.oneof(fc.constantFrom('constructor', '__proto__', 'toString', ''), fc.nat(260).map(String)),
  fc.nat(5),
  fc.constantFrom('solved', 'solved', 'conflict', 'unsure', 'faulty'),
  fc.oneof(fc.integer({ min: -4, max: 4 }), fc.constantFrom<VariantCell>(null, 'infinity', '-infinity')),
  margin,
  margin,
  fc.oneof(
    fc.constantFrom('constructor', '__proto__'),
    fc.nat(60).map(k => `problem ${k}`),
  ),
)

test('variants counted in parts, wherever cut and sent through JSON, are counted as one by one', () => {
  const wishes = { rank: { place: 4, sense: 'least' }, cross: [1, 2] } as const
  fc.assert(
    fc.property(
      fc.array(row, { maxLength: 600, size: 'max' }),
      fc.array(fc.integer({ min: 1, max: 90 })),
      (rows, cuts) => {
        const numbered = rows.map((cells, k): readonly VariantCell[] => [k + 1, ...cells])
        const whole = new Tally(COLUMNS, wishes)
        for (const each of numbered) whole.take(each)
        const joined = new Tally(COLUMNS, wishes)
        for (let from = 0, k = 0; from < numbered.length; k++) {
          const part = new Tally(COLUMNS, wishes, emptyTally(), Number.POSITIVE_INFINITY)
          const to = from + (cuts[k] ?? 50)
          for (const each of numbered.slice(from, to)) part.take(each)
          joined.add(JSON.parse(JSON.stringify(part.state)))
          from = to
        }
        expect(JSON.stringify(joined.state)).toBe(JSON.stringify(whole.state))
        expect(joined.total).toBe(rows.length)
      },
    ),
    { numRuns: 60 },
  )
})
