import { expect, test } from 'vitest'
import { across } from '../../solver/search/across.ts'

// Source: by hand, from what it says of itself.
test('one watch over searches is told of all their flights, and ends all once it has ended one', () => {
  const told: number[] = []
  const { watch, ended } = across(flights => told.push(flights) < 5)
  expect([watch(1), watch(4), watch(1), watch(2), ended()]).toEqual([true, true, true, true, false])
  expect([watch(2), ended()]).toEqual([false, true])
  expect(told).toEqual([1, 4, 5, 6, 8])
  expect([watch(3), watch(1), ended()]).toEqual([false, false, true])
  expect(told).toHaveLength(5)
})
