import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import type { TallyState } from '../variants/tally.ts'
import { codeOf } from './files.ts'
import { Refusal } from './shell.ts'
import { type Holder, isHeld } from './variants-holder.ts'
import { unwritten } from './writing.ts'

/** Beside an unfinished file: from what it was begun, and (where rows are left out) how far it is. */
export interface RunRecord {
  readonly begun: string
  readonly by?: Holder
  /** Whether what lies in the file may still be another run's, which it is to take the place of. */
  readonly fresh?: boolean
  readonly done?: number
  readonly bytes?: number
  readonly tally?: TallyState
}

/** An unfinished file, as the command was told of it. */
interface Unfinished {
  readonly path: string
  readonly named: string
}

export function recordPath(path: string): string {
  return `${path}.run`
}

/** The record beside a file, null where there is none. */
export function recordOf({ path, named }: Unfinished): RunRecord | null {
  try {
    const text = readFileSync(recordPath(path), 'utf8')
    // Made, but not written yet.
    if (text === '')
      throw new Refusal(
        `${named} is being written by another run that has only just begun. Wait for its end; if nothing is at it, remove ${named}.run.`,
      )
    return JSON.parse(text) as RunRecord
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return null
    if (error instanceof Refusal) throw error
    throw new Refusal(`${named}.run cannot be read. Remove ${named} and ${named}.run to begin anew.`)
  }
}

/** Takes a file that nobody is at. The record comes before the file is emptied: of two runs that begin at once only one can make it. */
export function claim(plan: Unfinished & Pick<RunRecord, 'begun'>, by: Holder): void {
  const { path, named, begun } = plan
  try {
    writeFileSync(recordPath(path), JSON.stringify({ begun, by, fresh: true }), { flag: 'wx' })
  } catch (error) {
    if (codeOf(error) !== 'EEXIST') throw unwritten(`${named}.run`, error)
    refuseBegun(path, named)
    throw brokenOff(named)
  }
}

/** Refuses to write over a file that a run writes still, or has not come to the end of. */
export function refuseBegun(path: string, named: string): void {
  const record = recordOf({ path, named })
  if (record === null) return
  refuseHeld(named, record)
  throw brokenOff(named)
}

function brokenOff(named: string): Refusal {
  return new Refusal(
    `${named} holds a run that was broken off. Go on with it: --resume. Or remove ${named}.run to begin anew.`,
  )
}

/** Refuses a file that another run is at still. */
export function refuseHeld(named: string, record: RunRecord | null): void {
  if (record?.by && isHeld(record.by))
    throw new Refusal(
      `${named} is being written by another run, process ${record.by.process} of this machine. Wait for its end, or stop it there with Ctrl-C.`,
    )
}

/** Refuses a file that a run has not come to the end of. */
export function refuseUnfinished(path: string, named: string): void {
  if (!existsSync(recordPath(path))) return
  refuseHeld(named, recordOf({ path, named }))
  throw new Refusal(`${named} is not whole: its run was broken off. Go on with it first: --resume.`)
}
