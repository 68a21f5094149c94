import { accessSync, constants } from 'node:fs'
import { resolve } from 'node:path'
import { jsonText } from '../report/json.ts'
import { workingReport } from '../report/working-report.ts'
import { lookOf, shown } from './looks.ts'
import { sayProblems } from './messages.ts'
import { openFile, settingsOf } from './opened.ts'
import { Refusal, type Shell, STATUS, type Status } from './shell.ts'
import type { SolveOptions } from './solve.ts'

export interface WorkingOptions extends SolveOptions {
  readonly deep?: string
}

/** `loftsheet working FILE NAME`; the name may be several words, and may stand before the file. */
export async function working(words: readonly string[], options: WorkingOptions, shell: Shell): Promise<Status> {
  const { named, name } = fileAndName(words, shell)
  const deep = depthOf(options.deep)
  const set = settingsOf(options.set)
  const { file, sheet } = await openFile(named, options, shell)
  const answer = sheet.working(name, { set, deep })
  if (options.json) shell.out.write(jsonText(answer))
  else {
    await sayProblems(shell, answer.problems, file)
    const look = lookOf(shell.out, shell.environment)
    if (answer.outcome !== 'faulty') shell.out.write(shown(workingReport(answer, file.name, look), look))
  }
  return answer.outcome === 'faulty' ? STATUS.wrong : STATUS.done
}

function fileAndName(words: readonly string[], shell: Shell): { readonly named: string; readonly name: string } {
  const [first, last] = [words[0]!, words.at(-1)!]
  return !isReadable(first, shell) && isReadable(last, shell)
    ? { named: last, name: words.slice(0, -1).join(' ') }
    : { named: first, name: words.slice(1).join(' ') }
}

function isReadable(named: string, { folder }: Shell): boolean {
  if (named === '-') return true
  try {
    accessSync(resolve(folder, named), constants.R_OK)
    return true
  } catch {
    return false
  }
}

function depthOf(written: string | undefined): number | 'all' {
  if (written === undefined) return 1
  if (written === 'all') return 'all'
  if (/^\d{1,6}$/.test(written)) return Number(written)
  throw new Refusal(`--deep takes a number of levels or the word all; "${written}" is neither.`)
}
