import type { Answer, Outcome } from '../answer.ts'
import { jsonText } from '../report/json.ts'
import { sensitivityLines } from '../report/sensitivities.ts'
import { solveReport } from '../report/solve-report.ts'
import type { SheetFile } from './files.ts'
import { lookOf, shown } from './looks.ts'
import { say, sayProblems } from './messages.ts'
import { type Common, openFile, settingsOf } from './opened.ts'
import { pictureKind } from './pictures.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { refusePlace } from './writing.ts'

export interface SolveOptions extends Common {
  readonly set?: readonly string[]
  /** A spreadsheet to write besides. */
  readonly out?: string
  /** How long the search may take. */
  readonly within?: string
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
  if (options.out !== undefined) pictureKind(options.out, ['xlsx'], 'solve')
  const set = settingsOf(options.set)
  const { file, sheet, read } = await openFile(named, options, shell)
  refusePlace(options.out, read, shell)
  const end = options.within === undefined ? null : performance.now() + millisecondsOf(options.within)
  const answer = sheet.solve(end === null ? { set } : { set, watch: () => performance.now() < end })
  if (options.out !== undefined && answer.outcome !== 'faulty') await writeBook(answer, file, options.out, shell)
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

async function writeBook(answer: Answer, file: SheetFile, out: string, shell: Shell): Promise<void> {
  const [{ answerBook }, { writeXlsx }] = await Promise.all([import('../workbook/answer-book.ts'), import('./xlsx.ts')])
  await writeXlsx(answerBook(answer, file.text), out, shell)
  say(shell, `${out} holds the sheet as a spreadsheet.`)
}

const SPANS: Readonly<Record<string, number>> = { ms: 1, s: 1000, min: 60_000 }

/** A span of time as written: "10s", "500 ms", "2 min" [ms]. */
function millisecondsOf(written: string): number {
  const [, number, unit] = /^\s*(\d+(?:\.\d+)?)\s*(ms|s|min)\s*$/.exec(written) ?? []
  if (number === undefined) throw new Refusal(`"--within ${written}" is no span of time; write it as in --within 10s.`)
  return Number(number) * SPANS[unit!]!
}
