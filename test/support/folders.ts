import { mkdtempSync, rmSync } from 'node:fs'
import { constants, tmpdir } from 'node:os'
import { join } from 'node:path'

const made: string[] = []

/** A new folder among the machine's temporary ones. It goes when the process that made it ends, by itself or by a signal that it can hear. */
export function ownFolder(name: string): string {
  if (made.length === 0) clearAtTheEnd()
  const folder = mkdtempSync(join(tmpdir(), `loftsheet-${name}-`))
  made.push(folder)
  return folder
}

function clear(): void {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true })
}

function clearAtTheEnd(): void {
  process.on('exit', clear)
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    // Where somebody else listens already, as a test runner does, the end is theirs to make.
    if (process.listenerCount(signal) > 0) continue
    process.once(signal, () => process.exit(128 + constants.signals[signal]))
  }
}
