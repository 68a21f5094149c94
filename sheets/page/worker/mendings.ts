import type { Problem } from '../../../grammar/source.ts'
import { openSheet } from '../../index.ts'
import { mended, writingOf } from '../../report/mending.ts'
import type { OpenOptions } from '../../sheet.ts'
import type { ProblemView } from '../spoken.ts'
import { difference } from '../text/edit.ts'

/** Problems and readings of a mend tried on one text: a page of faults must not keep a reader waiting. */
const MOST_PROBLEMS = 6
const MOST_TRIES = 24
/** A longer sheet takes too long to be read again and again [UTF-16 units]. */
const LONGEST = 40_000

/** Problems, each with the edit that mends it where its words say what to write and the sheet is the better for it. */
export function problemViews(
  text: string,
  problems: readonly Problem[],
  how: OpenOptions = {},
): readonly ProblemView[] {
  let tried = 0
  return problems.map(problem => {
    if (problem.severity !== 'error' || text.length > LONGEST || ++tried > MOST_PROBLEMS)
      return { ...problem, edit: null }
    return { ...problem, edit: editFor(text, problem, problems.length, how) }
  })
}

function editFor(text: string, problem: Problem, count: number, how: OpenOptions): ProblemView['edit'] {
  const writing = problem.length > 0 ? writingOf(problem) : null
  if (!writing) return null
  for (const candidate of [...new Set(mended(text, problem, writing))].slice(0, MOST_TRIES)) {
    const left = openSheet(candidate, how).problems
    const gone = left.every(each => each.line !== problem.line || each.message !== problem.message)
    if (gone && left.length < count) {
      const edit = difference(text, candidate)
      return edit && { ...edit, words: writing.words === '' ? 'Delete it' : `Write ${writing.words}` }
    }
  }
  return null
}
