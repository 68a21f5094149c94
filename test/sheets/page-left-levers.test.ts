import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { opened } from '../../sheets/page/state/draft.ts'
import { forgetLevers, leaveLever, leverLeft } from '../../sheets/page/state/left-levers.ts'
import * as store from '../../sheets/page/state/store.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

test('a lever that was made a fact is made the same lever again, while its value lies in its range', () => {
  const { levers } = openSheet(heron).outline()
  expect(levers.length).toBeGreaterThan(1)
  for (const { name, whole, range, unit } of levers) {
    const words = heron.slice(...whole)
    const written = `7 ${unit.text}`
    const [from, to] = range!
    expect(leverLeft(name, written, from)).toBeNull()
    leaveLever(name, words, unit.text, range)
    for (const share of [0, 0.3, 1]) expect(leverLeft(name, written, from + share * (to - from))).toBe(words)
    for (const share of [-0.1, 1.1]) expect(leverLeft(name, written, from + share * (to - from))).toBeNull()
    expect(leverLeft(name, written, null)).toBeNull()
    expect(leverLeft(name, '7 m', from)).toBeNull()
    expect(leverLeft(`${name} too`, written, from)).toBeNull()
  }
  // Of a fact that became a lever of another range, and a fact once more, the last range counts.
  leaveLever(levers[0]!.name, 'lever anew from 0 to 1', '', [0, 1])
  expect(leverLeft(levers[0]!.name, '0.5', 0.5)).toBe('lever anew from 0 to 1')
  forgetLevers()
  for (const { name, range } of levers) expect(leverLeft(name, '7 %', range![0])).toBeNull()
})

test('of another sheet nothing is remembered, of a draft that is taken up it is', () => {
  leaveLever('throttle cap', 'lever throttle cap from 50 % to 100 %', '%', [0.5, 1])
  store.begin(opened(heron), 'heron.loft')
  store.takeUp(opened(`${heron}#\n`))
  expect(leverLeft('throttle cap', '60 %', 0.6)).not.toBeNull()
  store.openAnother(opened('fact throttle cap = 60 %\n'))
  expect(leverLeft('throttle cap', '60 %', 0.6)).toBeNull()
})
