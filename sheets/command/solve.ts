import type { Outcome } from '../answer.ts'
import { jsonText } from '../report/json.ts'
import { solveReport } from '../report/solve-report.ts'
import { lookOf, shown } from './looks.ts'
import { sayProblems } from './messages.ts'
import { type Common, openFile, settingsOf } from './opened.ts'
import { type Shell, STATUS, type Status } from './shell.ts'

export interface SolveOptions extends Common {
  readonly set?: readonly string[]
}

/** Exit status of an outcome. */
export const OUTCOMES: Readonly<Record<Outcome, Status>> = {
  solved: STATUS.done,
  conflict: STATUS.conflict,
  faulty: STATUS.wrong,
  unsure: STATUS.unsure,
}

/** `loftsheet solve FILE`. */
export async function solve(named: string, options: SolveOptions, shell: Shell): Promise<Status> {
  const set = settingsOf(options.set)
  const { file, sheet } = await openFile(named, options, shell)
  const answer = sheet.solve({ set })
  if (options.json) shell.out.write(jsonText(answer))
  else {
    await sayProblems(shell, answer.problems, file)
    const look = lookOf(shell.out, shell.environment)
    if (answer.outcome !== 'faulty') shell.out.write(shown(solveReport(answer, file.name, look), look))
  }
  return OUTCOMES[answer.outcome]
}
