import { describe, expect, test } from 'vitest'
import { allowanceOf, errorUnits, figureIn, marginIn } from '../../solver/conflict/judged.ts'
import { remembered, widestGap } from '../../solver/conflict/remembered.ts'
import { impossibleSets, type Mask, maskOf, placesOf, Together, type Verdict } from '../../solver/conflict/sets.ts'
import { settingsCount, tabulate } from '../../solver/conflict/table.ts'
import { apart, plainProblem, sum, wish } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'

// Source: by hand, from what each of them says of itself.

describe('going through every setting', () => {
  test('flies where that can teach something, tightly where a loose flight cannot tell', () => {
    const log: string[] = []
    const together = new Together()
    // So many settings that a loose look first is worth its while.
    const many = { ...apart(log), levers: [rangeOf(0, 10, 10), rangeOf(0, 1, 14)] }
    const { work } = tabulate(many, [0, 1], together, () => true)
    expect(placesOf(together.largest.reduce((all, mask) => all | mask, 0n))).toEqual([0, 1])
    expect(together.largest).toHaveLength(2)
    expect(work).toBe(log.length)
    // One tight flight for each of the two; all others are told by a loose one.
    expect(log.filter(line => line.startsWith('tight'))).toHaveLength(2)
    expect(log.filter(line => line.startsWith('loose'))).toHaveLength(165)
  })
  test('flies few settings tightly at once, where that can teach something', () => {
    const log: string[] = []
    const together = new Together()
    const { work } = tabulate(apart(log), [0, 1], together, () => true)
    expect(together.largest).toHaveLength(2)
    expect([work, log.length, log.filter(line => line.startsWith('tight')).length]).toEqual([55, 55, 55])
  })
  test('flies nothing for algebra, and an idle lever rests in the middle of its range', () => {
    const log: string[] = []
    const idle = { ...apart(log), idle: [false, true] }
    tabulate(idle, [0], new Together(), () => true)
    expect(new Set(log.map(line => line.split(' ')[2]))).toEqual(new Set(['0.5']))
    log.length = 0
    const together = new Together()
    tabulate(apart(log), [2], together, () => true)
    expect([together.largest, log]).toEqual([[1n], ['tight 0 0']])
  })
  test('how many there are, idle levers apart', () => {
    expect(settingsCount(apart())).toBe(55)
    expect(settingsCount({ ...apart(), idle: [false, true] })).toBe(11)
    expect(settingsCount({ ...apart(), levers: [rangeOf(0, 1, 0), rangeOf(0, 1, 4)] })).toBe(Number.POSITIVE_INFINITY)
  })
})

test('nothing is flown twice but for something better', () => {
  const log: string[] = []
  const { problem, work, flown } = remembered(apart(log))
  const x = Float64Array.of(1, 0)
  const grades = (): string => [...flown()].map(({ accuracy }) => accuracy).join()
  for (const [accuracy, slopes, flights] of [
    ['loose', false, 1],
    ['loose', false, 1],
    ['loose', true, 2],
    ['loose', false, 2],
    ['tight', false, 3],
    ['medium', false, 3],
    ['medium', true, 4],
    ['tight', false, 4],
    ['tight', true, 5],
    ['loose', true, 5],
    ['tight', false, 5],
  ] as const) {
    problem.fly(x, accuracy, slopes)
    expect(log.length).toBe(flights)
  }
  expect([grades(), work()]).toEqual(['tight', 2 * 1 + 3 * 1.9])
  x[0] = 4
  problem.fly(x, 'loose', false)
  expect([...flown()].map(each => each.x[0])).toEqual([1, 4])
})

test('the widest gap is that of the place farthest from anything tried', () => {
  const gap = (points: readonly number[][], idle: readonly boolean[] = [false, false]): number => {
    const levers = [rangeOf(10, 20, 0), rangeOf(-1, 1, 0)]
    const problem = plainProblem(levers, [{ of: sum(0, 1, 1) }], [])
    const known = remembered(problem)
    for (const [a, b] of points) known.problem.fly(Float64Array.of(10 + 10 * a!, 2 * b! - 1), 'loose', false)
    return widestGap(known, idle)
  }
  expect(gap([])).toBe(1)
  expect(gap([[0.5, 0.5]])).toBeCloseTo(0.5, 2)
  expect(
    gap([
      [0.5, 0.5],
      [0, 0],
    ]),
  ).toBeCloseTo(0.5, 2)
  expect(
    gap([
      [0.25, 0.5],
      [0.75, 0.5],
    ]),
  ).toBeCloseTo(0.5, 2)
  expect(
    gap(
      [
        [0.25, 0],
        [0.75, 1],
      ],
      [false, true],
    ),
  ).toBeCloseTo(0.25, 2)
  const grid = [0, 0.25, 0.5, 0.75, 1].flatMap(a => [0, 0.5, 1].map(b => [a, b]))
  expect(gap(grid)).toBeCloseTo(0.25, 1)
})

describe('a target is judged', () => {
  const problem = plainProblem(
    [rangeOf(0, 1, 0)],
    [{ of: sum(0, 1) }, { of: sum(0, 1), figure: s => 10 * s }, { of: sum(0, 1), least: 5 }],
    [],
  )
  const figure = (rows: readonly number[], ...values: number[]): number =>
    figureIn(problem, wish(rows, { high: 1 }), {
      rows: Float64Array.from(values),
      slopes: new Float64Array(3),
      lifts: true,
      work: 0,
    })
  test('by the largest of its rows, none of which may be without a value', () => {
    expect([figure([0], 2, 3, 4), figure([0, 1], 2, 3, 4), figure([1, 0], 40, 3, 4)]).toEqual([2, 30, 40])
    expect([figure([2], 2, 3, 4), figure([2], 2, 3, 7)]).toEqual([5, 7])
    expect([figure([0, 1], Number.NaN, 3, 4), figure([0, 1], 2, Number.NaN, 4)]).toEqual([Number.NaN, Number.NaN])
  })
  test('by its slack in units of its margin, met to a hair', () => {
    expect(marginIn(wish(0, { low: 4 }), 5)).toBe(0.25)
    expect(marginIn(wish(0, { high: 4 }), 5)).toBe(-0.25)
    expect(marginIn(wish(0, { low: 4, high: 8 }), 5)).toBe(0.5)
    expect(marginIn({ ...wish(0, { low: 4, high: 4 }, 4), kind: 'equal to' }, 5)).toBe(-0.25)
    expect(allowanceOf(wish(0, { low: 4 }))).toBe(1e-9)
    expect(allowanceOf({ ...wish(0, { low: 4, high: 4 }, 4), kind: 'equal to' })).toBe(1e-6)
  })
  test('give or take an error that is a share of its limit', () => {
    expect(errorUnits(wish(0, { low: 4 }), 0.01)).toBeCloseTo(0.01, 15)
    expect(errorUnits(wish(0, { low: 4, high: -8 }, 2), 0.01)).toBeCloseTo(0.04, 15)
    expect(errorUnits(wish(0, { low: 0 }, 3), 0.01)).toBeCloseTo(0.01, 15)
  })
})

describe('sets that cannot be met together', () => {
  const of = (...places: number[]): Mask => maskOf(places)
  const bounds = { most: 3, questions: 100 }
  test('what is known to be met together is kept once, by its largest', () => {
    const together = new Together()
    for (const mask of [of(0), of(1, 2), of(2), of(0, 1, 2), of(1), of(3)]) together.add(mask)
    expect(together.largest).toEqual([of(0, 1, 2), of(3)])
    expect([of(0, 2), of(), of(3), of(0, 3)].map(mask => together.covers(mask))).toEqual([true, true, true, false])
  })
  test('no question is asked whose answer is known, and none beyond those allowed', () => {
    const asked: Mask[] = []
    const told = (answer: Verdict) => (mask: Mask) => {
      asked.push(mask)
      return answer
    }
    const together = new Together()
    together.add(of(0))
    together.add(of(1))
    // All of them are known to be impossible, each of the two to be possible.
    expect(impossibleSets(2, together, told('impossible'), bounds)).toEqual([of(0, 1)])
    expect(asked).toEqual([])
    expect(impossibleSets(3, new Together(), told('impossible'), { ...bounds, questions: 2 })).toEqual([of(0), of(1)])
    expect(asked).toEqual([of(0), of(1)])
  })
  test('a set of which nothing could be shown is taken for possible', () => {
    const ask = (mask: Mask): Verdict => (mask === of(0) ? 'unsure' : mask === of(1, 2) ? { met: mask } : 'impossible')
    const together = new Together()
    together.add(of(1))
    together.add(of(2))
    expect(impossibleSets(3, together, ask, bounds)).toEqual([of(0, 1), of(0, 2)])
  })
})
