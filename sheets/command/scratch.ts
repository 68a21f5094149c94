import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import process from 'node:process'

/** Works in a folder among the machine's temporary ones, which goes when the work is done, and where the process ends before that. */
export async function inScratch<T>(name: string, work: (folder: string) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), `loftsheet-${name}-`))
  const clear = (): void => rmSync(folder, { recursive: true, force: true, maxRetries: 5 })
  process.on('exit', clear)
  try {
    return await work(folder)
  } finally {
    process.removeListener('exit', clear)
    clear()
  }
}
