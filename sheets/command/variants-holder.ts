import { readFileSync } from 'node:fs'
import { hostname } from 'node:os'
import process from 'node:process'

/** Who writes a file: a process of a machine, told by its number and by when it began, since a number is given again. */
export interface Holder {
  readonly machine: string
  readonly process: number
  /** The system's own count, '' where it tells none. */
  readonly began: string
}

/** A process of this machine, this one unless told. */
export function holderOf(number = process.pid): Holder {
  return { machine: hostname(), process: number, began: beganOf(number) }
}

/** Whether somebody else is at it still. Of another machine that cannot be known; where no system tells when a process began, its number has to do. */
export function isHeld(holder: Holder): boolean {
  if (holder.machine !== hostname() || holder.process === process.pid) return false
  return runs(holder.process) && beganOf(holder.process) === holder.began
}

function runs(number: number): boolean {
  try {
    return process.kill(number, 0)
  } catch (error) {
    // One of somebody else's may not be sent anything, and runs.
    return error instanceof Error && 'code' in error && error.code === 'EPERM'
  }
}

/** When a process began, as Linux tells it in the 22nd field of its state: the 20th behind its name, which may hold anything (proc(5)). */
function beganOf(number: number): string {
  try {
    const state = readFileSync(`/proc/${number}/stat`, 'utf8')
    return state.slice(state.lastIndexOf(')') + 2).split(' ')[19] ?? ''
  } catch {
    return ''
  }
}
