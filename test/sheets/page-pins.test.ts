import { expect, test } from 'vitest'
import type { SheetAsking } from '../../sheets/page/spoken.ts'
import { unanswered } from '../../sheets/page/state/pins.ts'
import { newDesk } from '../../sheets/page/worker/desk.ts'
import { onLevers } from '../../sheets/page/worker/pinned.ts'
import { answerSheet } from '../../sheets/page/worker/sheet-job.ts'

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

test('a pin of what is no lever of the sheet, or no longer, is left aside', () => {
  const text = 'fact cap = 60 %\nlever load from 1 kg to 9 kg\nmust load at least 2 kg\n'
  const asking: SheetAsking = {
    kind: 'sheet',
    text,
    set: { load: 3, cap: 0.5, gone: 1 },
    moving: null,
    map: null,
    width: 1000,
    units: 'sheet',
    flight: null,
  }
  const desk = newDesk()
  expect(onLevers(desk, asking)).toEqual({ ...asking, set: { load: 3 } })
  expect(answerSheet(desk, onLevers(desk, asking)).next().value).toMatchObject({
    kind: 'answer',
    view: { outcome: 'solved', levers: [{ name: 'load', si: 3, pinned: true }] },
  })
})
