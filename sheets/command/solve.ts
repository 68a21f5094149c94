import type { Outcome } from '../answer.ts'
import { jsonText } from '../report/json.ts'
import { sensitivityLines } from '../report/sensitivities.ts'
import { solveReport } from '../report/solve-report.ts'
import { lookOf, shown } from './looks.ts'
import { sayProblems } from './messages.ts'
import { type Common, openFile, settingsOf } from './opened.ts'
import { type Shell, STATUS, type Status } from './shell.ts'

export interface SolveOptions extends Common {
  readonly set?: readonly string[]
  /** Whether to tell how far each target moves with each lever and fact. */
  readonly sensitivities?: boolean
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
    if (answer.outcome !== 'faulty') {
      const page = solveReport(answer, file.name, look)
      const more = options.sensitivities ? [[], ...sensitivityLines(answer, look.width)] : []
      shell.out.write(shown([...page, ...more], look))
    }
  }
  return OUTCOMES[answer.outcome]
}
