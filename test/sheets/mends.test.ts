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
