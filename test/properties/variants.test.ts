import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import type { VariantCell, Variants } from '../../sheets/variants/answer.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

const TEXT = `${heron}
fact spare = 4
variants first
  each dry mass over 140 kg, 165 kg, 200 kg
  each drag coefficient over 0.35, 0.6
  each peak g over 5 g0, 6 g0
variants second from "more.csv"
`
const FILE = `body of hop,throttle cap [%],apoapsis within [km]
Earth,60,100 to 110
Moon,40,100 to 110
Venus,60,100 to 110
Earth,20,100 to 110
Earth,70,30 to 40
`

/** As a worker of its own opens it: nothing is shared between two of them. */
function worker(): Variants {
  return openSheet(TEXT, { load: () => FILE }).variants({ heads: [null, FILE.split('\n')[0]!.split(',')] })
}

const ROWS = FILE.trimEnd()
  .split('\n')
  .slice(1)
  .map(line => line.split(','))
const PRODUCT = 12

/** A row by its number, solved by one worker as a task of its own or as part of a longer one. */
function solved(by: Variants, place: number, count: number): readonly (readonly VariantCell[])[] {
  if (place < PRODUCT)
    return by.solve({
      block: 0,
      first: place + 1,
      stride: 1,
      work: { from: place, count: Math.min(count, PRODUCT - place) },
    })
  const rows = ROWS.slice(place - PRODUCT, place - PRODUCT + count)
  return by.solve({ block: 1, first: place + 1, stride: 1, work: { rows } })
}

test('rows are the same whoever solves them, in whatever order and company', () => {
  const sheet = openSheet(TEXT, { load: () => FILE })
  const whole = [...sheet.variants()].map(row => Object.values(row))
  expect(whole).toHaveLength(PRODUCT + ROWS.length)
  const task = fc.record({ hand: fc.nat(2), place: fc.nat(whole.length - 1), count: fc.integer({ min: 1, max: 3 }) })
  fc.assert(
    fc.property(fc.array(task, { minLength: 3, maxLength: 6 }), tasks => {
      const hands = [worker(), worker(), worker()]
      for (const { hand, place, count } of tasks) {
        const rows = solved(hands[hand]!, place, count)
        expect(rows).toEqual(whole.slice(place, place + rows.length))
      }
    }),
    { numRuns: 12 },
  )
})

test('a variant does not hang on which others there are', () => {
  const all = [...openSheet(TEXT, { load: () => FILE }).variants()]
  const few = TEXT.replace('140 kg, 165 kg, 200 kg', '165 kg').replace('5 g0, 6 g0', '6 g0').replace('0.35, 0.6', '0.6')
  const alone = [...openSheet(few, { load: () => FILE }).variants()][0]!
  const same = all.find(
    row => row['dry mass [kg]'] === 165 && row['drag coefficient'] === 0.6 && row['peak g at most [g0]'] === 6,
  )
  expect({ ...same, variant: 1 }).toEqual(alone)
})
