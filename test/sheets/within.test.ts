import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { conflictLines } from '../../sheets/report/conflict-report.ts'

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
  const told = new Set<boolean>()
  const full = openSheet(conflict).solve().conflict!
  expect([full.whole, full.sets.length]).toEqual([true, 1])
  const heard: number[] = []
  openSheet(conflict).solve({ watch: flights => heard.push(flights) > 0 })
  const searched = heard.at(-1)!
  for (const more of [1, 50, 400, 1e9]) {
    const answer = openSheet(conflict).solve({ watch: flights => flights < searched + more })
    expect(answer.outcome).toBe('conflict')
    const { sets, whole } = answer.conflict!
    told.add(whole)
    if (whole) expect(sets.map(({ targets, mends }) => [targets, mends])).toEqual([[full.targets, full.mends]])
    for (const { targets } of sets) expect(targets).toEqual(expect.arrayContaining([...full.targets]))
    const page = conflictLines(answer, 500).map(paragraph =>
      paragraph.map(line => line.map(({ text }) => text).join('')),
    )
    expect(page.flat().some(line => line.startsWith('The time was up before'))).toBe(!whole)
  }
  expect(told).toEqual(new Set([false, true]))
})
