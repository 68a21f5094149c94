import { describe, expect, test } from 'vitest'
import { explain, type Sources } from '../../solver/conflict/explain.ts'
import { type Mask, maskOf, placesOf } from '../../solver/conflict/sets.ts'
import { settingsCount } from '../../solver/conflict/table.ts'
import type { Range } from '../../solver/model/model.ts'
import type { SearchProblem, SearchTarget } from '../../solver/search/problem.ts'
import { search } from '../../solver/search/search.ts'
import { type Flown, flyAll, isMet, marginOf } from '../support/brute-search.ts'
import { apart, plainProblem, randomProblem, sum, wish } from '../support/plain-problem.ts'
import { rangeOf } from '../support/rocket-search.ts'
import { sequence } from '../support/vehicles.ts'

// Source: every setting gone through, and the definitions of an irreducible set, of a mend and of a widening put in.

/** A range beyond one end, as wide again in the same steps. */
function widened({ from, to, settings }: Range, end: 'from' | 'to'): Range {
  const [width, steps] = [to - from, settings!.length - 1]
  return end === 'to' ? rangeOf(from, to + width, 2 * steps) : rangeOf(from - width, to, 2 * steps)
}

/** A problem with another range for one lever. */
const withRange = (problem: SearchProblem, lever: number, range: Range): SearchProblem => ({
  ...problem,
  levers: problem.levers.map((own, l) => (l === lever ? range : own)),
})

/** No interval rules anything out, and any range may be widened. */
const sourcesOf = (problem: SearchProblem): Sources => ({
  problem,
  narrow: (_, ranges) => ({
    low: Float64Array.from(ranges, range => range.from),
    high: Float64Array.from(ranges, range => range.to),
  }),
  beyond: (lever, end) => withRange(problem, lever, widened(problem.levers[lever]!, end)),
})

/** Ranges without steps, each of which may be widened. */
const smoothlyBeyond =
  (problem: SearchProblem): Sources['beyond'] =>
  (lever, end) => {
    const { from, to } = problem.levers[lever]!
    return withRange(problem, lever, end === 'to' ? rangeOf(from, 2 * to - from, 0) : rangeOf(2 * from - to, to, 0))
  }

/** A random problem with a must on each row, each met at one setting or another. */
function musts(seed: number, steps: readonly number[]): SearchProblem {
  const { rows, ...random } = randomProblem(seed, steps)
  const problem = { ...random, rows: rows.map(row => ({ ...row, figure: null })) }
  const next = sequence(seed + 500)
  const all = flyAll(problem)
  const targets = problem.rows.map((_, row): SearchTarget => {
    const values = all.map(({ rows }) => rows[row]!).sort((a, b) => a - b)
    const at = (share: number): number => values[Math.floor(share * (values.length - 1))]!
    const kind = next()
    if (kind < 0.4) return wish(row, { high: at(0.5 * next()) })
    return kind < 0.8 ? wish(row, { low: at(0.5 + 0.5 * next()) }) : wish(row, { low: at(0.7), high: at(0.9) })
  })
  return { ...problem, targets, aims: [] }
}

/** Whether a target is met at what was flown. */
const meets = (problem: SearchProblem, t: number, { rows }: Flown): boolean =>
  isMet(problem.targets[t]!, marginOf(problem, problem.targets[t]!, rows))

/** Every set of targets that no setting meets together and that has no needless one, fewest first. */
function irreducible(problem: SearchProblem, all: readonly Flown[]): string[] {
  const places = [...problem.targets.keys()]
  const met = [...new Set(all.map(flown => maskOf(places.filter(t => meets(problem, t, flown)))))]
  const impossible = (set: Mask): boolean => !met.some(mask => (mask & set) === set)
  const sets: number[][] = []
  for (let set = 1n; set < 1n << BigInt(places.length); set++) {
    const targets = placesOf(set)
    if (impossible(set) && targets.every(t => !impossible(set & ~(1n << BigInt(t))))) sets.push(targets)
  }
  return sets.sort((a, b) => a.length - b.length).map(String)
}

/** How far a lever must go beyond an end for a set to be met somewhere; null: not as far as its range is wide. */
function needed(problem: SearchProblem, targets: readonly number[], lever: number, end: 'from' | 'to'): number | null {
  const levers = problem.levers.map((range, l) => (l === lever ? widened(range, end) : range))
  const free = flyAll({ ...problem, levers }).filter(flown => targets.every(t => meets(problem, t, flown)))
  const reached = free.map(({ x }) => x[lever]!)
  if (reached.length === 0) return null
  return end === 'to' ? Math.min(...reached) : Math.max(...reached)
}

describe('conflicts on bent surfaces, against every setting', () => {
  test.each([
    ['gone through one by one', [10, 8], 4],
    ['too many to go through', [144, 140], 1],
  ])('settings %s: sets and their mends', (_, steps, count) => {
    const found = { sets: 0, missed: 0 }
    for (let seed = 1; seed <= count; seed++) {
      const problem = musts(seed, steps)
      const compromise = search(problem)
      if (compromise.outcome !== 'conflict') continue
      const every = settingsCount(problem) <= 20_000
      const all = flyAll(problem)
      const truth = irreducible(problem, all)
      const { sets, work } = explain({ ...sourcesOf(problem), beyond: () => null }, compromise)
      found.sets += sets.length
      found.missed += Math.min(3, truth.length) - sets.length
      if (every) expect(sets.map(it => it.targets.length)).toEqual(truth.slice(0, 3).map(it => it.split(',').length))
      expect(work).toBeGreaterThan(0)
      for (const { targets, evidence, mends, gap, ...set } of sets) {
        expect(truth).toContain(String(targets))
        expect([evidence, set.every, set.work > 0]).toEqual(['searched', every, true])
        if (every) expect(gap).toBeCloseTo(1 / Math.min(...steps), 12)
        expect(mends.map(({ target }) => target)).toEqual(targets)
        for (const { target, value, margin, x } of mends) {
          const free = all.filter(flown => targets.every(t => t === target || meets(problem, t, flown)))
          const margins = free.map(({ rows }) => marginOf(problem, problem.targets[target]!, rows))
          expect(margin).toBeCloseTo(Math.max(...margins), 6)
          expect(problem.fly(x, 'tight', false).rows[target]).toBe(value)
        }
      }
    }
    expect(found.sets).toBeGreaterThan(2)
    expect(found.missed).toBeLessThan(2)
  })

  test.each([
    ['gone through one by one', [10, 8]],
    ['too many to go through', [144, 140]],
  ])('settings %s, ended by its watch: sets that cannot be met either, at the least all musts', (_, steps) => {
    const told = { cut: 0, whole: 0, all: 0, fewer: 0 }
    for (let seed = 1; seed <= 2; seed++) {
      const problem = musts(seed, steps)
      const compromise = search(problem)
      if (compromise.outcome !== 'conflict') continue
      const sources = { ...sourcesOf(problem), beyond: () => null }
      const all = flyAll(problem)
      const full = explain(sources, compromise)
      expect(full.whole).toBe(true)
      for (const most of [0, 3, 30, 100, 300, 1e9]) {
        const counts: number[] = []
        const { sets, whole } = explain(sources, compromise, flights => counts.push(flights) > 0 && flights < most)
        // Told ever more flights, and nothing after it has ended it.
        expect(counts).toEqual([...counts].sort((one, other) => one - other))
        expect(counts.filter(flights => flights >= most).length).toBe(whole ? 0 : 1)
        told[whole ? 'whole' : 'cut']++
        if (whole) expect(sets).toEqual(full.sets)
        expect(sets.length).toBeGreaterThan(0)
        for (const { targets, mends, every } of sets) {
          expect(all.some(flown => targets.every(t => meets(problem, t, flown)))).toBe(false)
          expect(targets).toEqual(expect.arrayContaining(mends.map(({ target }) => target)))
          if (every) expect(steps[0]).toBe(10)
          if (!whole) told[targets.length === problem.targets.length ? 'all' : 'fewer']++
        }
      }
    }
    expect(Math.min(told.cut, told.whole, told.all, told.fewer)).toBeGreaterThan(0)
  })

  test.each([
    ['two levers, all of them', [8, 6], 12, 0],
    ['three levers, of which few are missed', [8, 6, 5], 8, 0.02],
  ])('the ends of ranges that are in the way, of %s', (_, steps, count, missed) => {
    const told = { right: 0, missed: 0, none: 0 }
    for (let seed = 1; seed <= count; seed++) {
      const problem = musts(seed, steps)
      const compromise = search(problem)
      if (compromise.outcome !== 'conflict') continue
      for (const { targets, widenings } of explain(sourcesOf(problem), compromise).sets) {
        for (const lever of steps.keys())
          for (const end of ['from', 'to'] as const) {
            const to = widenings.find(each => each.lever === lever && each.end === end)?.to ?? null
            const truth = needed(problem, targets, lever, end)
            if (to !== null) expect(to).toBeCloseTo(truth!, 9)
            told[truth === null ? 'none' : to === null ? 'missed' : 'right']++
          }
      }
    }
    expect(told.missed).toBeLessThanOrEqual(missed * told.right)
    expect(Math.min(told.right, told.none)).toBeGreaterThan(10)
  })
})

test('the work told is that of every flight, and an end is flown once for all sets', () => {
  const shared: number[] = []
  for (let seed = 1; seed <= 12; seed++) {
    const problem = musts(seed, [8, 6])
    const compromise = search(problem)
    if (compromise.outcome !== 'conflict') continue
    let flown = 0
    const places = new Map<string, number>()
    const fly: SearchProblem['fly'] = (x, accuracy, slopes) => {
      const sample = problem.fly(x, accuracy, slopes)
      flown += sample.work
      if (!slopes && accuracy === 'tight') places.set(x.join(), (places.get(x.join()) ?? 0) + 1)
      return sample
    }
    const { sets, work } = explain(sourcesOf({ ...problem, fly }), compromise)
    // Where mends were looked for their values are flown once more, and the compromise for the first mask.
    expect(work).toBeGreaterThan(0.9 * flown)
    expect(work).toBeLessThanOrEqual(flown * (1 + 1e-9))
    if (sets.length > 1) shared.push(Math.max(...places.values()))
  }
  // The box itself, and each of the four wider ones.
  expect(shared.length).toBeGreaterThan(2)
  expect(Math.max(...shared)).toBeLessThanOrEqual(6)
})

test('what intervals rule out is proved, costs no flight and has no other settings to go to', () => {
  const problem = apart()
  const { narrow } = sourcesOf(problem)
  const { sets } = explain(
    {
      problem,
      narrow: (targets, ranges) => (targets.includes(0) && targets.includes(1) ? null : narrow(targets, ranges)),
      beyond: () => problem,
    },
    search(problem),
  )
  const mends = [
    { target: 0, value: 3, margin: expect.closeTo(-4 / 7, 9), x: expect.anything() },
    { target: 1, value: 7, margin: expect.closeTo(-4 / 3, 9), x: expect.anything() },
  ]
  expect(sets).toEqual([{ targets: [0, 1], evidence: 'proved', work: 0, every: true, gap: 0.25, mends, widenings: [] }])
})

test('a lever that nothing hangs on is not widened, and its steps are no gap', () => {
  const problem = { ...apart(), idle: [false, true] }
  const asked: number[] = []
  const { sets } = explain(
    {
      ...sourcesOf(problem),
      beyond: lever => {
        asked.push(lever)
        return null
      },
    },
    search(problem),
  )
  expect(new Set(asked)).toEqual(new Set([0]))
  expect(sets[0]!.gap).toBeCloseTo(0.1, 12)
})

test('without steps a range is widened just as far as it must be', () => {
  const levers = [rangeOf(0, 5, 0), rangeOf(1, 3, 0)]
  const problem = plainProblem(levers, [{ of: sum(0, 1, 1) }], [wish(0, { low: 9 })])
  const { sets } = explain({ ...sourcesOf(problem), beyond: smoothlyBeyond(problem) }, search(problem))
  // 5 + 3 are one short of 9; lower ends are not in the way.
  expect(sets[0]!.widenings).toEqual([
    { lever: 0, end: 'to', to: expect.closeTo(6, 6) },
    { lever: 1, end: 'to', to: expect.closeTo(4, 6) },
  ])
})

test('the gap of settings gone through is the widest step, in shares of its range', () => {
  const gap = (...levers: Range[]): number => {
    const problem = plainProblem(levers, [{ of: sum(0, 1, 1) }], [wish(0, { low: 99 })])
    return explain({ ...sourcesOf(problem), beyond: () => null }, search(problem)).sets[0]!.gap
  }
  expect(gap(rangeOf(10, 20, 5), rangeOf(10, 20, 4))).toBeCloseTo(0.25, 12)
  expect(gap(rangeOf(10, 20, 5), { ...rangeOf(10, 20, 4), settings: Float64Array.of(10) })).toBe(1)
})

test('a set is asked for with the levers that it does not hang on where all musts came closest, and these stand in nobody’s way', () => {
  const log: string[] = []
  // a + b cannot be 19 or more, nor c 8; each lever goes on by itself.
  const smooth = [rangeOf(0, 9, 0), rangeOf(0, 9, 0), rangeOf(0, 7, 0)]
  const problem = plainProblem(
    smooth,
    [{ of: sum(0, 1, 1, 0) }, { of: sum(0, 0, 0, 1) }],
    [wish(0, { low: 19 }), wish(1, { low: 8 })],
    [],
    log,
  )
  const compromise = search(problem)
  log.length = 0
  const { sets } = explain({ ...sourcesOf(problem), beyond: smoothlyBeyond(problem) }, compromise)
  expect(sets.map(({ targets }) => targets)).toEqual([[0], [1]])
  expect(sets.map(({ widenings }) => widenings.map(({ lever, end }) => `${lever} ${end}`))).toEqual([
    ['0 to', '1 to'],
    ['2 to'],
  ])
  const [one, two] = sets
  expect(one!.widenings.map(({ to }) => to)).toEqual([expect.closeTo(10, 3), expect.closeTo(10, 3)])
  expect(two!.widenings[0]!.to).toBeCloseTo(8, 3)
  expect(one!.mends[0]!.x[2]).toBe(compromise.x![2])
  expect([...two!.mends[0]!.x.subarray(0, 2)]).toEqual([...compromise.x!.subarray(0, 2)])
  // Elsewhere is flown only what a flight costs there, once an end at most.
  const [a, b, c] = compromise.x!
  const elsewhere = log.filter(line => {
    const [, x, y, z] = line.split(' ').map(Number)
    return !((x === a && y === b) || z === c)
  })
  expect(elsewhere.length).toBeLessThanOrEqual(6)
  expect(log.length).toBeGreaterThan(12)
})
