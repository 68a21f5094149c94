import { expect, test } from 'vitest'
import type { TargetAnswer } from '../../sheets/answer.ts'
import { openSheet } from '../../sheets/index.ts'
import { TIE } from '../../sheets/report/marked.ts'
import { pinnedWords } from '../../sheets/report/pinned-words.ts'
import { STANDARD_LAYOUT, solveReport } from '../../sheets/report/solve-report.ts'
import { targetWords } from '../../sheets/report/target-words.ts'
import { thoseWords, verdictOf } from '../../sheets/report/verdict.ts'
import { workWords } from '../../sheets/report/work-words.ts'
import { conflict, escaping, heron, noLevers, target, unsure } from './answers.ts'

const words = (...made: Parameters<typeof target>) => targetWords(target(...made), {})

test('a value beside its limit has four figures, one away from it three', () => {
  expect(words('must', 'peak g at most 6 g0', 5.987376, [null, 6], 'g0').value).toBe('5.987 g0')
  expect(words('must', 'max q at most 70 kPa', 59.2833, [null, 70], 'kPa').value).toBe('59.3 kPa')
})

test('value and room add up to the limit as they are shown', () => {
  expect(words('must', 'peak g at most 6 g0', 5.987376, [null, 6], 'g0').words).toBe('at its limit, 0.013 g0 of room')
  expect(words('must', 'max q at most 70 kPa', 59.2833, [null, 70], 'kPa').words).toBe('met, 10.7 kPa of room')
  expect(words('must', 'ratio at least 2', 1.8612, [2, null]).words).toBe('short, 0.14 under')
  expect(words('must', 'apoapsis at least 1 km', 0, [1, null], 'km').words).toBe('short, 1 km under')
  expect(words('must', 'speed at most 340 m/s', 1206, [null, 340], 'm/s').words).toBe('short, 866 m/s over')
})

test('a small room is told in a smaller unit, or with more places', () => {
  expect(words('should', 'apoapsis within 100 km to 110 km', 100.0921, [100, 110], 'km').words).toBe(
    'met, 92 m of room',
  )
  expect(words('must', 'peak g at most 6 g0', 5.99958, [null, 6], 'g0').words).toBe('at its limit, 0.00042 g0 of room')
})

test('what is short never reads as if it stood on its limit', () => {
  const near = words('must', 'peak g at most 6 g0', 6.00002, [null, 6], 'g0')
  expect(near.value).toBe('6.00002 g0')
  expect(near.words).toBe('short, 0.00002 g0 over')
})

test('a value on its limit to the last place has no room to tell', () => {
  expect(words('must', 'x at most 6', 6, [null, 6]).words).toBe('at its limit')
  expect(words('must', 'x at most 6', 6 * (1 + 1e-12), [null, 6], '', { met: true, atLimit: true }).words).toBe(
    'at its limit',
  )
})

test('a single value asked for is met, and never told to be at its limit', () => {
  expect(words('must', 'x equal to 6', 6, [6, 6]).words).toBe('met')
  expect(words('must', 'x equal to 6', 5, [6, 6]).words).toBe('short, 1 under')
  expect(words('must', 'x equal to 6 ± 2', 5, [4, 8]).words).toBe('met, 1 of room')
})

test('infinite and missing values are words', () => {
  expect(words('must', 'apoapsis at least 3 km', 'infinity', [3, null], 'km')).toMatchObject({
    value: 'infinite',
    words: 'met, infinite room',
  })
  expect(words('must', 'apoapsis at most 3 km', 'infinity', [null, 3], 'km').words).toBe('short, infinitely far')
  expect(words('must', 'max mach at most 3', null, [null, 3], '', { reason: 'there is no air' })).toMatchObject({
    value: 'no value',
    words: 'short: there is no air',
    state: 'no value',
  })
})

test('differences of temperature readings are told in kelvins', () => {
  expect(words('must', 'temperature at most 20 degC', 12.5, [null, 20], 'degC')).toMatchObject({
    value: '12.5 degC',
    words: 'met, 7.5 K of room',
  })
})

test('subject and limit are told apart, whatever the expression', () => {
  const made = target('must', 'if load >= 3 kg then thrust / 2 else thrust within 2 N to 2 * top N', 3, [2, 4], 'N')
  expect(targetWords(made, {})).toMatchObject({
    subject: 'if load >= 3 kg then thrust / 2 else thrust',
    kind: 'within',
    limit: 'within 2 N to 2 * top N',
  })
})

test('a target without a unit of its own is shown in that of the quantity it is about', () => {
  const { unit: _, ...plain } = target('must', 'max q at most 70 kPa', 59.2833, [null, 70], 'kPa')
  const made: TargetAnswer = plain
  const quantities = {
    'max q': { role: 'figure', si: 59283.3, value: 59.2833, unit: 'kPa', text: '59.28 kPa' },
  } as const
  expect(targetWords(made, quantities).value).toBe('59.3 kPa')
})

test('verdicts name what is short and what is at its limit', () => {
  expect(verdictOf(heron)).toEqual({
    verdict: 'Solved: every target is met.',
    more: 'Peak g and apoapsis are at their limits.',
  })
  expect(verdictOf(escaping).verdict).toBe('Solved: the must is met; apoapsis and apoapsis time are short.')
  expect(verdictOf({ ...escaping, targets: escaping.targets.slice(1) }).verdict).toBe(
    'Solved: there is no must; apoapsis and apoapsis time are short.',
  )
  expect(verdictOf(conflict).verdict).toBe('Conflict: these three cannot all be met.')
  expect(verdictOf(unsure).verdict).toBe('Unsure: no settings found, and no proof that there are none.')
  expect(verdictOf(noLevers).verdict).toBe('Nothing is asked of this sheet yet. Add a target to any figure.')
})

test('the work is told in a line, without flights where none was flown', () => {
  expect(workWords(heron)).toBe('searched, 33 flights, 7.0 ms')
  expect(workWords(noLevers)).toBe('proved, 0.21 ms')
  expect(workWords(conflict)).toBe('searched: every setting was flown or ruled out; 812 flights, 96 ms')
  expect(workWords(unsure)).toBe('1,204 flights, 1.5 s')
})

test('that targets cannot be met is said where it is shown; where starts were tried, that no setting was found', () => {
  const three = { targets: ['a at least 2', 'b at most 5', 'c at least 1'], ranges: [], every: false }
  expect(thoseWords({ ...three, evidence: 'proved' })).toBe('These three cannot all be met')
  expect(thoseWords({ ...three, evidence: 'searched', every: true })).toBe('These three cannot all be met')
  expect(thoseWords({ ...three, evidence: 'searched' })).toBe('No setting was found that meets these three together')
  const one = { targets: ['a at least 2'], ranges: ['x cannot go above 1'], every: false }
  expect(thoseWords({ ...one, evidence: 'searched' })).toBe(
    'No setting was found within the range of the levers that meets this one',
  )
  expect(thoseWords({ ...one, evidence: 'proved' })).toBe('This one cannot be met within the range of the levers')
})

test('a conflict says what is pinned, and nothing where no lever is', () => {
  const page = (set: Readonly<Record<string, string>>): string => {
    const answer = openSheet(`lever x from 0 m to 9 m\nlever y from 0 m to 9 m\nmust x + y at least 20 m`).solve({
      set,
    })
    return solveReport(answer, 'sums.loft', { ...STANDARD_LAYOUT, width: 200 })
      .map(line => line.map(({ text }) => text).join(''))
      .join('\n')
  }
  expect(page({ x: '3 m' })).toContain('\nThis is with x pinned at 3 m.\n')
  expect(page({ x: '3 m', y: '1 m' })).toContain('\nThis is with x pinned at 3 m and y pinned at 1 m.\n')
  expect(page({})).not.toContain('This is with')
  expect(pinnedWords([['a name of one’s own', '3 m']], TIE)).toBe(
    `This is with a name of one’s own pinned at 3${TIE}m.`,
  )
})
