import { checkReport } from '../report/check-report.ts'
import { jsonText } from '../report/json.ts'
import { lookOf, shown } from './looks.ts'
import { sayProblems } from './messages.ts'
import { type Common, openFile } from './opened.ts'
import { type Shell, STATUS, type Status } from './shell.ts'

/** `loftsheet check FILE`. */
export async function check(named: string, options: Common, shell: Shell): Promise<Status> {
  const { file, sheet } = await openFile(named, options, shell)
  const answer = sheet.check()
  const faulty = answer.problems.some(problem => problem.severity === 'error')
  if (options.json) shell.out.write(jsonText(answer))
  else {
    await sayProblems(shell, answer.problems, file)
    const look = lookOf(shell.out, shell.environment)
    shell.out.write(shown(checkReport(answer, file.name, sheet.title, look.width), look))
  }
  return faulty ? STATUS.wrong : STATUS.done
}
