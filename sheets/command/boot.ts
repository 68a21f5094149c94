import process from 'node:process'
import { partsIn } from './parts.ts'
import type { STATUS } from './shell.ts'
import type { start } from './start.ts'

/** The status of a fault of our own, told without opening the part that holds it. */
const FAULT: typeof STATUS.fault = 4

/** What a shell starts: the command as it was built. What fails before the command can speak for itself, a part or a folder that is gone, is told here. */
async function boot(): Promise<void> {
  try {
    const command = partsIn(__dirname).open('command.cjs') as { readonly start: typeof start }
    await command.start(process.argv.slice(2))
    await leave()
  } catch (error) {
    const trace = process.env.LOFTSHEET_TRACE && error instanceof Error ? `${error.stack}\n` : ''
    process.stderr.write(
      `The command could not begin: ${error instanceof Error ? error.message : String(error)}\nIf its files are not whole, installing it again mends that.\n${trace}`,
    )
    process.exitCode = FAULT
  }
}

/** What stands open as long as the process does: where its words go. */
const STANDING = ['PipeWrap', 'TTYWrap']

/** Ends the process at once where all is written and nothing is under way: taking its memory down piece by piece would take a fiftieth of a short run. */
async function leave(): Promise<void> {
  for (const stream of [process.stdout, process.stderr])
    await new Promise<void>(done => void stream.write('', () => done()))
  if (process.getActiveResourcesInfo().every(kind => STANDING.includes(kind))) process.exit()
}

void boot()
