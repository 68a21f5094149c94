import pc from 'picocolors'
import type { Problem } from '../../grammar/source.ts'
import { showable } from '../../grammar/width.ts'
import { piece } from '../report/marked.ts'
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
  const [{ renderProblem }, { splitLines }] = await Promise.all([
    import('../../grammar/render.ts'),
    import('../../grammar/lines.ts'),
  ])
  const { bold, dim, magenta, yellow } = pc.createColors(lookOf(shell.messages, shell.environment).colour)
  const state = (text: string, severity: Problem['severity']) =>
    bold(severity === 'error' ? magenta(text) : yellow(text))
  const lines = splitLines(file.text)
  const paint = { place: dim, severity: state, mark: state }
  const texts = problems.map(problem =>
    problem.length > 0 ? renderProblem(problem, lines, file.name, paint) : plainText(problem, state),
  )
  shell.messages.write(`${texts.join('\n\n')}\n`)
}

/** A problem of the words of the command, which have no line to show. */
function plainText(problem: Problem, state: (text: string, severity: Problem['severity']) => string): string {
  const message = `${state(`${problem.severity}:`, problem.severity)} ${showable(problem.message)}`
  return problem.mend === null ? message : `${message}\n  ${showable(problem.mend)}`
}
