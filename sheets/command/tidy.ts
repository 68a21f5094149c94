import { say, sayProblems } from './messages.ts'
import { type Common, openFile } from './opened.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import { writeWhole } from './writing.ts'

export interface TidyOptions extends Common {
  readonly write?: boolean
}

/** `loftsheet tidy FILE`: a sheet with errors is left as it is. */
export async function tidy(named: string, options: TidyOptions, shell: Shell): Promise<Status> {
  const { file, sheet } = await openFile(named, options, shell)
  if (options.write && file.path === null)
    throw new Refusal('Standard input cannot be written back to; leave --write out.')
  const errors = sheet.problems.filter(problem => problem.severity === 'error')
  if (errors.length > 0) {
    await sayProblems(shell, errors, file)
    say(shell, 'The sheet was not tidied: mend it first.')
    return STATUS.wrong
  }
  const text = sheet.tidy()
  if (!options.write) shell.out.write(text)
  else if (text === file.text) say(shell, `${file.name} is tidy already.`)
  else {
    writeWhole(file.path!, file.name, text)
    say(shell, `${file.name} was tidied.`)
  }
  return STATUS.done
}
