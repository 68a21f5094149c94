import { expect, test } from 'vitest'
import { unanswered } from '../../sheets/page/state/pins.ts'

test('a pin is shown by itself only where the answer on show does not know of it', () => {
  const cap = { name: 'throttle cap', pinned: false, si: 0.61 }
  expect(unanswered({}, cap)).toBeUndefined()
  expect(unanswered({ 'fuel fraction': 0.9 }, cap)).toBeUndefined()
  expect(unanswered({ 'throttle cap': 0.61 }, cap)).toBe(0.61)
  expect(unanswered({ 'throttle cap': 0.6 }, { ...cap, pinned: true })).toBe(0.6)
  expect(unanswered({ 'throttle cap': 0.61 }, { ...cap, pinned: true })).toBeUndefined()
  expect(unanswered({}, { ...cap, pinned: true })).toBeNull()
  expect(unanswered({}, { name: 'toString', pinned: false, si: 0 })).toBeUndefined()
})
