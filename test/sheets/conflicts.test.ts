import { readdirSync, readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { everySetting, irreducibleSets, smallestMove } from '../support/all-conflicts.ts'
import { smallHop } from '../support/small-hop.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8').replace('should apoapsis', 'must   apoapsis')
const tight = heron.replace('6 g0', '5 g0')
const tighter = tight.replace('70 kPa', '45 kPa')

/** The sheet with one of its targets written anew. */
function rewritten(text: string, from: string, to: string): string {
  const pattern = new RegExp(`^must +${from.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replace(/ /g, ' +')}`, 'm')
  expect(text).toMatch(pattern)
  return text.replace(pattern, `must ${to}`)
}

/** The musts of a set alone, as a sheet. */
function only(text: string, set: readonly string[]): string {
  const kept = text.split('\n').filter(line => !/^(must|should|could|aim)\b/.test(line))
  return [...kept, ...set.map(target => `must ${target}`)].join('\n')
}

/** A mend's text with 1 % less of its change. */
function short(text: string, mend: { text: string; by: number; si: number; target: string }): string {
  const unit =
    openSheet(text)
      .solve()
      .targets.find(target => target.text === mend.target)!.unit ?? ''
  const words = mend.text.split(' ')
  const old = mend.target.split(' ')
  const at = words.findIndex((word, place) => word !== old[place])
  const [from, to] = [Number(old[at]), Number(words[at])]
  expect(Number.isFinite(from) && Number.isFinite(to), `${mend.target} → ${mend.text} ${unit}`).toBe(true)
  words[at] = String(from + 0.99 * (to - from))
  return words.join(' ')
}

/** Checks sets, evidence and mends of a sheet against every one of its settings. */
function expectRight(text: string): void {
  const { conflict, outcome } = openSheet(text).solve()
  expect(outcome).toBe('conflict')
  const judged = everySetting(text)
  const all = irreducibleSets(judged)
  const sets = conflict!.sets.map(set => [...set.targets].sort())
  expect(sets.length).toBe(Math.min(3, all.length))
  for (const set of sets) expect(all).toContainEqual(set)
  expect(sets.map(set => set.length)).toEqual(all.slice(0, 3).map(set => set.length))
  for (const set of conflict!.sets) {
    expect(set.mends.map(mend => mend.target)).toEqual(set.targets)
    for (const mend of set.mends) {
      const least = smallestMove(judged, set.targets, mend.target)
      expect(Math.abs(mend.by)).toBeGreaterThanOrEqual(least * (1 - 1e-6))
      expect(Math.abs(mend.by)).toBeLessThanOrEqual(least * 1.0011)
      const alone = only(text, set.targets)
      expect(openSheet(rewritten(alone, mend.target, mend.text)).solve().outcome).toBe('solved')
      expect(openSheet(rewritten(alone, mend.target, short(alone, mend))).solve().outcome).toBe('conflict')
    }
  }
}

describe('Heron asked for too much, against all its 5,041 settings', () => {
  test('liftoff ratio, peak g and apoapsis are the set', () => {
    expect(
      openSheet(tight)
        .solve()
        .conflict!.sets.map(set => set.targets),
    ).toEqual([['liftoff ratio at least 2', 'peak g at most 5 g0', 'apoapsis within 100 km to 110 km']])
    expectRight(tight)
  })

  test('with less max q besides there are two sets, the second with max q in the place of peak g', () => {
    expect(
      openSheet(tighter)
        .solve()
        .conflict!.sets.map(set => set.targets),
    ).toEqual([
      ['liftoff ratio at least 2', 'peak g at most 5 g0', 'apoapsis within 100 km to 110 km'],
      ['liftoff ratio at least 2', 'max q at most 45 kPa', 'apoapsis within 100 km to 110 km'],
    ])
    expectRight(tighter)
  })

  test('each mend of a single set solves the whole sheet', () => {
    for (const mend of openSheet(tight).solve().conflict!.mends)
      expect(openSheet(rewritten(tight, mend.target, mend.text)).solve().outcome).toBe('solved')
  })

  test.each([3.9, 5])('a range is named where widening it frees the set (liftoff ratio at least %d)', ratio => {
    const text = heron.replace('at least 2', `at least ${ratio}`)
    expectRight(text)
    for (const set of openSheet(text).solve().conflict!.sets) {
      const freed = ['from -40 % to 29 %', 'from 101 % to 170 %'].flatMap(range =>
        ['fuel fraction', 'throttle cap']
          .filter(lever => {
            const wider = only(text, set.targets).replace(
              new RegExp(`(lever ${lever} +)from 30 % to 100 %`),
              `$1${range}`,
            )
            expect(wider).toContain(range)
            const { masks, texts } = everySetting(wider)
            return masks.includes((1 << texts.length) - 1)
          })
          .map(lever => `${lever} cannot go ${range.startsWith('from 1') ? 'above 100 %' : 'below 30 %'}`),
      )
      expect([...set.ranges].sort()).toEqual(freed.sort())
    }
  })
})

describe('conflicts made by hand', () => {
  const folder = 'test/sheets/conflicts'
  test.each(readdirSync(folder))('%s conflicts as its first lines say', file => {
    const text = readFileSync(`${folder}/${file}`, 'utf8')
    const heads = text
      .split('\n')
      .filter(line => line.startsWith('# ') && /at least|at most|within|equal to/.test(line))
    const ranges = [...text.matchAll(/^# range: (.*)$/gm)].map(match => match[1]!)
    const { conflict } = openSheet(text).solve()
    const expected = heads.filter(line => !line.endsWith('.')).map(line => line.slice(2))
    expect(conflict!.sets.map(set => (set.evidence === 'proved' ? 'proved: ' : '') + set.targets.join('; '))).toEqual(
      expected,
    )
    expect(conflict!.sets[0]!.ranges).toEqual(ranges)
    for (const set of conflict!.sets) {
      expect(set.mends.length).toBe(set.targets.length)
      for (const mend of set.mends)
        expect(openSheet(rewritten(only(text, set.targets), mend.target, mend.text)).solve().outcome, mend.text).toBe(
          'solved',
        )
    }
  })
})

describe('a conflict of levers without steps', () => {
  const text = `lever x from 0 to 7
lever y from 0 to 2
figure a = x^2 + y / 3
figure b = x * y
must a at most 7
must b at least 8.7
`
  const [set] = openSheet(text).solve().conflict!.sets

  test('tells settings in few figures, at which the set is met once its limit has moved', () => {
    expect(set!.mends.map(mend => mend.target)).toEqual(['a at most 7', 'b at least 8.7'])
    for (const { target, text: moved, settings } of set!.mends) {
      const pins = Object.fromEntries(Object.entries(settings).map(([name, { text }]) => [name, text]))
      for (const each of Object.values(pins)) expect(each.replace(/^0|\./g, '').length).toBeLessThan(7)
      expect(openSheet(rewritten(text, target, moved)).solve({ set: pins }).outcome).toBe('solved')
    }
    // a of x = 4.35 and y = 2, where b is 8.7.
    expect(set!.mends[0]!.si).toBeGreaterThanOrEqual(4.35 ** 2 + 2 / 3)
    expect(set!.mends[0]!.by).toBeLessThanOrEqual((4.35 ** 2 + 2 / 3 - 7) * 1.0011)
  })

  test('is told where the value lies a rounding of the engine beside a short decimal', () => {
    // 3.3 + 0.573 is 3.8729999999999998 in binary.
    const stepped =
      'lever c from 2 to 6.6 in steps of 0.1\nmust c within 2.9 to 3.395\nmust c + 0.573 within 4.07 to 4.587'
    const { mends } = openSheet(stepped).solve().conflict!.sets[0]!
    expect(mends.map(mend => mend.text)).toEqual(['c within 2.9 to 3.5', 'c + 0.573 within 3.873 to 4.587'])
    expect(openSheet(stepped.replace('4.07', '3.873')).solve().outcome).toBe('solved')
  })

  test('tells a wider range in few figures, wide enough', () => {
    // y with x² = 7 − y/3 and x y = 8.7.
    let least = 2
    while (Math.sqrt(7 - least / 3) * least < 8.7) least += 1e-7
    const { text: wider, si } = set!.widenings.find(({ lever }) => lever === 'y')!
    expect(wider).toMatch(/^y from 0 to 3\.\d{1,4}$/)
    expect(si).toBeGreaterThanOrEqual(least - 2e-7)
    expect(si).toBeLessThanOrEqual(least + 1.0011e-3 * (least - 2))
    expect(openSheet(text.replace('lever y from 0 to 2', `lever ${wider}`)).solve().outcome).toBe('solved')
  })

  test('has a compromise in few figures that is as near as any', () => {
    const { quantities } = openSheet(text).solve().conflict!.compromise!
    const [x, y] = [quantities.x!, quantities.y!]
    for (const { text } of [x, y]) expect(text.length).toBeLessThan(6)
    const short = (x: number, y: number): number => Math.max((x ** 2 + y / 3) / 7 - 1, 1 - (x * y) / 8.7)
    let least = Number.POSITIVE_INFINITY
    for (let i = 0; i <= 70_000; i++) least = Math.min(least, short(i / 10_000, 2))
    expect(short(x.si as number, y.si as number)).toBeLessThanOrEqual(least * 1.0011)
  })
})

test('a mend of a curved target moves its limit to where its settings stand, not to where a search ended', () => {
  const mends = (text: string): readonly string[] =>
    openSheet(text)
      .solve()
      .conflict!.sets.flatMap(set => set.mends.map(mend => mend.text))
  expect(mends('lever x from 1 to 10\nmust x * x at least 64\nmust x at most 2\n')).toEqual([
    'x * x at least 4',
    'x at most 8',
  ])
  expect(mends('lever r from 0.1 m to 9 m\nmust pi * r ^ 2 at least 28.2743338823 m^2\nmust r at most 1 m\n')).toEqual([
    'pi * r^2 at least 3.14 m^2',
    'r at most 3 m',
  ])
})

// A limit below zero grows tighter the more of it there is.
test.each([
  ['3 less than nothing', '-3 + a at most -2.9 * a', 'a at least 0.9', '-3 + a at most 0.80459 * (-2.9 * a)'],
  ['not enough below', 'a / 2 - 2 at least -1 * a', 'b at least 1', 'a / 2 - 2 at least 1.5 * (-1 * a)'],
  ['beyond zero', 'a at most -0.5 * b', 'b at least 1.5', 'a at most -0.5 * (-0.5 * b)'],
  ['equal', 'b + 3 equal to 2 * b', 'a at least 0.5', 'b + 3 equal to 1.25 * (2 * b)'],
])('a limit that hangs on levers is moved to let more in: %s', (_, first, second, mended) => {
  const levers = 'lever a from 0.5 to 1 in steps of 0.1\nlever b from 1 to 2\n'
  const answer = openSheet(`${levers}must ${first}\nmust ${second}\n`).solve()
  expect(answer.outcome).toBe('conflict')
  const mend = answer.conflict!.mends.find(({ target }) => target === first)!
  expect(mend.text).toBe(mended)
  const again = openSheet(`${levers}must ${mend.text}\nmust ${second}\n`)
  expect(again.solve().outcome).toBe('solved')
  const set = Object.fromEntries(Object.entries(mend.settings).map(([name, { text }]) => [name, text]))
  expect(again.solve({ set }).outcome).toBe('solved')
})

// Source: every setting of the wider range.
test('a lever is widened to where something jumps beyond its end, however thin that is', () => {
  for (const [least, most] of [
    [1.9501, 1.9521],
    [2.1, 2.104],
    [2.3001, 2.3041],
  ] as const) {
    // Within the ranges the product is 1.8 at most: nothing jumps there.
    const text = `
lever load from 40 % to 60 % in steps of 0.5 %
lever trim from 0 to 3 in steps of 0.05
figure product = load * trim
figure bonus = if product > ${least} and product < ${most} then 20 else trim
must bonus at least 15
must apoapsis at least 100 m
${smallHop('load * 40 kg', null)}`
    const bonus = (load: number, trim: number): boolean => load * trim > least && load * trim < most
    const loads = (to: number): number[] =>
      Array.from({ length: Math.round((to - 40) * 2) + 1 }, (_, k) => (80 + k) / 200)
    const trims = (to: number): number[] => Array.from({ length: Math.round(to * 20) + 1 }, (_, k) => k / 20)
    const load = loads(80).find(each => trims(3).some(trim => bonus(each, trim)))!
    const trim = trims(6).find(each => loads(60).some(share => bonus(share, each)))!
    const [set] = openSheet(text).solve().conflict!.sets
    expect(set!.widenings.map(({ lever, si }) => [lever, si])).toEqual([
      ['load', expect.closeTo(load, 9)],
      ['trim', expect.closeTo(trim, 9)],
    ])
  }
})
