import { expect, test } from 'vitest'
import { parse } from '../../grammar/index.ts'
import type { Problem } from '../../grammar/source.ts'
import { openSheet } from '../../sheets/index.ts'
import { mended, writingOf } from '../../sheets/report/mending.ts'
import { wrongSheets } from '../support/faults.ts'

const FOLDERS = [
  ['../language/faults/parse/', (sheet: string) => parse(sheet).problems, 70],
  ['faults/meaning/', (sheet: string) => openSheet(sheet).problems, 20],
  ['faults/check/', (sheet: string) => openSheet(sheet).check().problems, 3],
] as const

/** Whether a line is right now, or is only wrong further to the right: of a line that cannot be read only the first slip is told. */
function isMended(problem: Problem, before: readonly Problem[], after: readonly Problem[]): boolean {
  const there = after.filter(each => each.line === problem.line && each.severity === problem.severity)
  if (there.some(each => each.column <= problem.column && each.message === problem.message)) return false
  if (after.length < before.length) return true
  return after.length === before.length && there.some(each => each.column > problem.column)
}

for (const [folder, problemsOf, least] of FOLDERS) {
  test(`what a mend says to write mends the sheet (${folder})`, () => {
    const failed: string[] = []
    let tried = 0
    for (const { title, sheet } of wrongSheets(new URL(folder, import.meta.url))) {
      const problems = problemsOf(sheet)
      for (const problem of problems) {
        const writing = writingOf(problem)
        if (writing === null) continue
        tried++
        if (!mended(sheet, problem, writing).some(text => isMended(problem, problems, problemsOf(text))))
          failed.push(`${title}: ${problem.message} ${problem.mend}`)
      }
    }
    expect(failed).toEqual([])
    expect(tried).toBeGreaterThanOrEqual(least)
  })
}

test('every error says what would mend it', () => {
  const without = FOLDERS.flatMap(([folder, problemsOf]) =>
    wrongSheets(new URL(folder, import.meta.url)).flatMap(({ title, sheet }) =>
      problemsOf(sheet)
        .filter(({ severity, mend }) => severity === 'error' && !/^\S.*[.?]$/.test(mend ?? ''))
        .map(({ message, mend }) => `${title}: ${message} ${mend}`),
    ),
  )
  expect(without).toEqual([])
})

test.each([
  ['height [foo],force [N]\n0,1\n1,2\n', 'There is no unit foo.'],
  ['height,force\n0,1\n1,x\n', 'has "x" where a number belongs'],
  ['height,force\n0,1\n1,\n', 'has "" where a number belongs'],
  ['height,force\n0,1\n', 'two rows or more'],
  ['height\n0\n1\n', 'has 1.'],
  ['', 'is empty'],
  ['height;force\n0;0,1\n1;0,2\n', 'stand apart by semicolons'],
  ['height\tforce\n0\t1\n1\t2\n', 'stand apart by tabs'],
  ['height,force\n0,0,1\n1,2\n', 'Row 2 of "pull.csv" has 3 cells where its first row has 2.'],
  ['height,force\n0\n1,2\n', 'Row 2 of "pull.csv" has 1 cell where'],
  ['height,force\n# a note\n\n0,"1\n1,2\n', 'could not be read: a quote is opened and never closed.'],
  ['height,force\n# a note\n\n0,1"\n1,2\n', 'Row 4 of "pull.csv" has "1"" where a number belongs'],
  ['height,force\n0,0x10\n1,2\n', 'has "0x10" where a number belongs'],
  ['height,force\n0,1e999\n1,2\n', 'has "1e999" where a number belongs'],
  ['\ufffd\ufffdh\0e\0,\0f\0\n\0', 'is no text that can be read here'],
])('what is wrong with a file of a table is told once, with what would mend it: %j', (file, words) => {
  const { problems } = openSheet('table pull of height from "pull.csv"\nfigure a = pull(1)\n', { load: () => file })
  expect(problems.map(({ message }) => message)).toEqual([expect.stringContaining(words)])
  expect(problems[0]!.mend).toMatch(/\.$/)
})

test('a file of a table may have a hundred thousand rows and no more', () => {
  const said = (rows: number): readonly string[] => {
    const file = `height,force\n${Array.from({ length: rows }, (_, row) => `${row},1\n`).join('')}`
    return openSheet('table pull of height from "pull.csv"\n', { load: () => file }).problems.map(
      ({ message }) => message,
    )
  }
  expect(said(100_000)).toEqual([])
  expect(said(100_001)).toEqual(['"pull.csv" has over 100,000 rows, more than a table may have.'])
})

test('a file of a table that is wrong throughout is told of by its first rows', () => {
  const file = `height,force\n${'0,x\n'.repeat(5000)}`
  const { problems } = openSheet('table pull of height from "pull.csv"\n', { load: () => file })
  expect(problems.map(({ message }) => message)).toEqual([
    ...Array.from({ length: 8 }, (_, row) => `Row ${row + 2} of "pull.csv" has "x" where a number belongs.`),
    'So have 4,992 more rows of "pull.csv".',
  ])
})

test.each([
  'height,force\r\n0,0.2\r\n1,0.8\r\n',
  '\ufeff"height","force"\n"0"," 0.2 "\n# a note\n\n1,.8e0',
  'height , force\r0, +0.2\r1 ,8e-1\r',
])('a file of a table is read as it may be written: %j', file => {
  const sheet = openSheet('table pull of height from "pull.csv"\nfigure a = pull(1)\n', { load: () => file })
  expect(sheet.problems).toEqual([])
  expect(sheet.solve().quantities.a!.si).toBe(0.8)
})

test.each(['thrust = 3 m', 'sum = 3 N', 'nothing = 3', 'thrust = cap', 'thrust = ', 'cap = 20 %'])(
  'what cannot be set says what can: %s',
  asked => {
    const sheet = openSheet('fact thrust = 5 N\nlever cap from 30 % to 90 %\nfigure sum = cap * thrust\n')
    const [name, value] = asked.split('=') as [string, string]
    const { outcome, problems } = sheet.solve({ set: { [name.trim()]: value } })
    expect(outcome).toBe('faulty')
    for (const { mend } of problems) expect(mend).toMatch(/\.$/)
  },
)
