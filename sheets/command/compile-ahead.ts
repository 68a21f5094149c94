import process from 'node:process'
import { partsIn } from './parts.ts'
import type { start } from './start.ts'

/** The last step of a build, with the path of a sheet: what an answer needs is compiled, by giving one, and kept beside the parts. */
async function compileAhead(sheet: string): Promise<void> {
  const parts = partsIn(__dirname)
  const command = parts.open('command.cjs') as { readonly start: typeof start }
  for (const verb of ['check', 'solve']) {
    await command.start([verb, sheet])
    if (process.exitCode !== 0) throw new Error(`${verb} of ${sheet} ended with status ${process.exitCode}`)
  }
  parts.keep()
}

void compileAhead(process.argv[2]!)
