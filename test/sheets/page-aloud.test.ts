import fc from 'fast-check'
import { afterEach, beforeEach, expect, test, vi } from 'vitest'
import { sayNow, sayWhenStill, spoken } from '../../sheets/page/state/aloud.ts'

beforeEach(() => void vi.useFakeTimers())
afterEach(() => void vi.useRealTimers())

test('an outcome is left to be read out, and the last verdict comes in the end, whatever comes when', () => {
  const step = fc.record({
    kind: fc.constantFrom('outcome', 'verdict'),
    after: fc.integer({ min: 0, max: 2500 }),
  })
  let run = 0
  fc.assert(
    fc.property(fc.array(step, { minLength: 1, maxLength: 12 }), steps => {
      const heard: { readonly words: string; readonly at: number }[] = []
      const stop = spoken.subscribe(words => heard.push({ words: words.trim(), at: performance.now() }))
      heard.length = 0
      run++
      let verdict: string | null = null
      steps.forEach(({ kind, after }, k) => {
        vi.advanceTimersByTime(after)
        if (kind === 'outcome') sayNow(`outcome ${k} of ${run}`)
        else {
          verdict = `verdict ${k} of ${run}`
          sayWhenStill(() => `verdict ${k} of ${run}`)
        }
      })
      vi.advanceTimersByTime(5000)
      stop()
      heard.slice(1).forEach(({ words, at }, k) => {
        const before = heard[k]!
        if (words.startsWith('verdict') && before.words.startsWith('outcome'))
          expect(at - before.at).toBeGreaterThanOrEqual(2000)
      })
      for (const [k, { kind }] of steps.entries())
        if (kind === 'outcome') expect(heard.map(({ words }) => words)).toContain(`outcome ${k} of ${run}`)
      const verdicts = heard.filter(({ words }) => words.startsWith('verdict'))
      expect(verdicts.at(-1)?.words ?? null).toBe(verdict)
    }),
    { numRuns: 200 },
  )
})

test('what is said again is heard again, and of a verdict in vain nothing is', () => {
  sayNow('saved to heron.loft')
  const first = spoken.value
  sayNow('saved to heron.loft')
  expect(spoken.value).not.toBe(first)
  expect(spoken.value.trim()).toBe('saved to heron.loft')
  const before = spoken.value
  sayWhenStill(() => null)
  vi.advanceTimersByTime(5000)
  expect(spoken.value).toBe(before)
})
