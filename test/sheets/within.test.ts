import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { conflictLines } from '../../sheets/report/conflict-report.ts'
import { cutWords } from '../../sheets/report/verdict.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
const conflict = heron.replace('at most  6 g0', 'at most  5 g0').replace('should apoapsis', 'must   apoapsis')

test('a search that is stopped is unsure, and gives settings on their steps that were really flown', () => {
  for (const text of [heron, conflict])
    for (const most of [0, 3, 8]) {
      const sheet = openSheet(text)
      const { outcome, quantities, targets, tried } = sheet.solve({ watch: flights => flights < most })
      if (outcome !== 'unsure') continue
      expect(tried).toBe('the search was stopped before it was done')
      const settings = Object.fromEntries(
        ['fuel fraction', 'throttle cap'].map(name => [name, quantities[name]!.si as number]),
      )
      for (const { text: words } of Object.values(quantities).filter(({ role }) => role === 'lever'))
        expect(words).toMatch(/^\d+ %$/)
      expect(sheet.at(settings)['peak g']).toBeCloseTo(targets[1]!.si as number, 6)
    }
  const stopped = openSheet(heron).solve({ watch: () => false })
  expect(stopped.outcome).toBe('unsure')
})

test('a watch that lets it go on changes nothing, and hears of ever more flights', () => {
  for (const text of [heron, conflict]) {
    const heard: number[] = []
    const watched = openSheet(text).solve({
      watch: flights => {
        heard.push(flights)
        return true
      },
    })
    const plain = openSheet(text).solve()
    expect(watched.quantities).toEqual(plain.quantities)
    expect(watched.outcome).toBe(plain.outcome)
    expect(heard.length).toBeGreaterThan(2)
    expect(heard).toEqual([...heard].sort((a, b) => a - b))
    expect(heard.every(Number.isInteger)).toBe(true)
  }
})

test('what intervals prove is proved, however early the search is stopped', () => {
  const sheet = openSheet('lever x from 0 m to 1 m\nlever y from 0 m to 1 m\nmust x + y at least 3 m')
  expect(sheet.solve({ watch: () => false }).outcome).toBe('conflict')
})

test('what explains a conflict is stopped as the search is, and says so', () => {
  const told = new Set<string>()
  const heard: number[] = []
  const explained = openSheet(conflict).solve({ watch: flights => heard.push(flights) > 0 })
  const searched = heard.at(-1)!
  const full = explained.conflict!
  expect([full.whole, full.sets.length]).toEqual([true, 1])
  const all = heard.at(-1)!
  for (const most of [searched + 1, searched + 50, searched + 400, all - 10, 1e9]) {
    const answer = openSheet(conflict).solve({ watch: flights => flights < most })
    expect(answer.outcome).toBe('conflict')
    const { sets, whole } = answer.conflict!
    if (whole) expect(sets.map(({ targets, mends }) => [targets, mends])).toEqual([[full.targets, full.mends]])
    for (const { targets } of sets) expect(targets).toEqual(expect.arrayContaining([...full.targets]))
    const page = conflictLines(answer, 500).map(paragraph =>
      paragraph.map(line => line.map(({ text }) => text).join('')),
    )
    const cut = page.flat().find(line => line.startsWith('The time was up before'))
    expect(cut !== undefined).toBe(!whole)
    // Where every setting was gone through, fewer are not too many.
    const every = sets.every(set => set.every)
    if (cut !== undefined) expect(cut.includes('fewer of them may be too many already')).toBe(!every)
    told.add(`${whole ? 'whole' : 'cut'}, ${every ? 'every setting' : 'some'}`)
  }
  expect([...told]).toEqual(['cut, some', 'cut, every setting', 'whole, every setting'])
})

test('of a single target that cannot be met no fewer are told of', () => {
  const words = (musts: readonly string[]): string => {
    const answer = openSheet(`lever a from 1 to 40\nlever b from 1 to 40\n${musts.join('\n')}`).solve({
      watch: () => false,
    })
    expect([answer.outcome, answer.conflict!.sets.length]).toEqual(['conflict', musts.length])
    return cutWords(answer)
  }
  const told = 'The time was up before all of this was looked at: changes that would free'
  const [one, other] = ['must sin(a * b) at least 1.5', 'must cos(a * b) at most -1.5'] as const
  expect(words([one])).toBe(`${told} it may be missing.`)
  expect(words([one, other])).toBe(`${told} them may be missing.`)
})
