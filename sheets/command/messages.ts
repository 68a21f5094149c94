import type { Problem } from '../../grammar/source.ts'
import { type Line, piece } from '../report/marked.ts'
import type { SheetFile } from './files.ts'
import { lookOf, shown } from './looks.ts'
import type { Shell } from './shell.ts'

/** A plain sentence on standard error. */
export function say(shell: Shell, sentence: string): void {
  shell.messages.write(shown([[piece(sentence)]], lookOf(shell.messages, shell.environment)))
}

/** Problems on standard error, each with its place, its line and what would mend it. */
export async function sayProblems(shell: Shell, problems: readonly Problem[], file: SheetFile): Promise<void> {
  if (problems.length === 0) return
  const { renderProblem } = await import('../../grammar/render.ts')
  const look = lookOf(shell.messages, shell.environment)
  const texts = problems.map(problem =>
    problem.line > 0 ? renderProblem(problem, file.text, file.name) : shown(plainLines(problem), look),
  )
  shell.messages.write(texts.join('\n'))
}

/** A problem of the words of the command, which have no line to show. */
function plainLines(problem: Problem): readonly Line[] {
  const lines: Line[] = [[piece(`${problem.severity}: ${problem.message}`)]]
  return problem.mend === null ? lines : [...lines, [piece(`  ${problem.mend}`)]]
}
