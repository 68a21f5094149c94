import fc from 'fast-check'
import { expect, test } from 'vitest'
import { widthOf } from '../../grammar/width.ts'
import { DRAWN } from '../../sheets/report/characters.ts'
import { gauge } from '../../sheets/report/gauge.ts'
import { lineColumns } from '../../sheets/report/marked.ts'
import { scaleOf } from '../../sheets/report/scale.ts'
import type { LimitKind } from '../../sheets/report/target-words.ts'
import { target } from './answers.ts'

function drawn(...words: Parameters<typeof target>): string {
  const made = target(...words)
  return gauge(scaleOf(made, kindOf(made.text)), 46, DRAWN)
    .map(each => each.text)
    .join('')
}

function kindOf(text: string): LimitKind {
  return /at least|at most|within|equal to/.exec(text)![0] as LimitKind
}

test('limit ticks stand at a quarter for "at least", three quarters for "at most", both for "within"', () => {
  expect(scaleOf(target('must', 'x at least 2', 3, [2, null]), 'at least').ticks).toEqual([0.25])
  expect(scaleOf(target('must', 'x at most 2', 1, [null, 2]), 'at most').ticks).toEqual([0.75])
  expect(scaleOf(target('must', 'x within 1 to 2', 1.5, [1, 2]), 'within').ticks).toEqual([0.25, 0.75])
  expect(scaleOf(target('must', 'x equal to 2', 2, [2, 2]), 'equal to').ticks).toEqual([0.5])
})

test('zero to the limit fills the scale up to the tick of an "at most"', () => {
  expect(scaleOf(target('must', 'x at most 8', 0, [null, 8]), 'at most').mark).toBe(0)
  expect(scaleOf(target('must', 'x at most 8', 4, [null, 8]), 'at most').mark).toBeCloseTo(0.375, 12)
  expect(scaleOf(target('must', 'x at least 8', 8.8, [8, null]), 'at least').mark).toBeCloseTo(0.25 + 0.075, 12)
  expect(scaleOf(target('must', 'x within 10 to 20', 15, [10, 20]), 'within').mark).toBeCloseTo(0.5, 12)
})

test('a mark with room, at its limit and past it are drawn apart', () => {
  expect(drawn('must', 'x at least 2', 2.172, [2, null])).toBe('╱╱╱╱╱╱╱╱╱╱╱┃━━◆───────────────────────────────')
  expect(drawn('must', 'x at most 6', 5.987, [null, 6])).toBe('─────────────────────────────────◆┃╱╱╱╱╱╱╱╱╱╱╱')
  expect(drawn('must', 'x at most 5', 5.358, [null, 5])).toBe('──────────────────────────────────┃╳◆╱╱╱╱╱╱╱╱╱')
  expect(drawn('must', 'x at least 2', 1.9999, [2, null])).toBe('╱╱╱╱╱╱╱╱╱╱◆┃──────────────────────────────────')
  expect(drawn('must', 'x within 100 to 110', 111.2, [100, 110])).toBe('╱╱╱╱╱╱╱╱╱╱╱┃──────────────────────┃╳╳◆╱╱╱╱╱╱╱╱')
})

test('a single value asked for is hatched on both sides, with a tolerance beyond it', () => {
  expect(drawn('must', 'x equal to 2', 2, [2, 2])).toBe('╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱◆╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱')
  expect(drawn('must', 'x equal to 2 ± 1', 2.1, [1, 3])).toBe('╱╱╱╱╱╱╱╱╱╱╱────────────┃◆━━━━━━━━━━╱╱╱╱╱╱╱╱╱╱╱')
})

test('a mark beyond the drawn span stands at its end with a chevron, and no value has no mark', () => {
  expect(drawn('must', 'x at most 5', 50, [null, 5])).toMatch(/┃╳{9}◆›$/)
  expect(drawn('must', 'x at most 5', -50, [null, 5])).toMatch(/^‹◆━+┃╱+$/)
  expect(drawn('must', 'x at least 5', 'infinity', [5, null])).toMatch(/◆›$/)
  expect(drawn('must', 'x at most 5', null, [null, 5])).toMatch(/^─{34}┃╱{11}$/)
})

test('a limit of nothing is measured by the scale it is told with', () => {
  expect(scaleOf(target('must', 'x at most 0', -1, [null, 0], '', { scale: 4 }), 'at most').mark).toBeCloseTo(
    0.75 - 0.75 / 4,
    12,
  )
  expect(scaleOf(target('must', 'x at most 0', 0, [null, 0], '', { scale: 4 }), 'at most').mark).toBe(0.75)
})

const anyNumber = fc.double({ min: -1e12, max: 1e12, noNaN: true })
const anyTarget = fc
  .tuple(
    fc.constantFrom<LimitKind>('at least', 'at most', 'within', 'equal to'),
    fc.oneof(anyNumber, fc.constant('infinity' as const), fc.constant(null)),
    anyNumber,
    anyNumber,
  )
  .map(([kind, value, a, b]) => {
    const [low, high] = kind === 'equal to' ? [a, a] : [Math.min(a, b), Math.max(a, b) + 1]
    const limit = [kind === 'at most' ? null : low, kind === 'at least' ? null : high] as const
    const zero = low === 0 || high === 0 ? { scale: 1 } : {}
    return { kind, target: target('must', `x ${kind} y`, value, limit, '', zero) }
  })

test('every scale fills its width, keeps its mark on the right side of its limits, and shows one mark', () => {
  fc.assert(
    fc.property(anyTarget, fc.integer({ min: 20, max: 120 }), ({ kind, target: made }, width) => {
      const scale = scaleOf(made, kind)
      const line = gauge(scale, width, DRAWN)
      const text = line.map(each => each.text).join('')
      expect(lineColumns(line)).toBe(width)
      expect(widthOf(text)).toBe(width)
      expect(text.split('◆').length - 1).toBe(made.si === null ? 0 : 1)
      expect(text.includes('╳') && made.met).toBe(false)
      expect(text.includes('━') && !made.met).toBe(false)
      if (made.si === null || kind === 'equal to') return
      const mark = text.indexOf('◆')
      const [left, right] = [text.indexOf('┃'), text.lastIndexOf('┃')]
      const inside = kind === 'at least' ? mark > left : kind === 'at most' ? mark < right : mark > left && mark < right
      expect(inside).toBe(made.met)
    }),
    { numRuns: 3000 },
  )
})
