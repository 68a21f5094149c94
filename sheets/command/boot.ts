import process from 'node:process'
import { partsIn } from './parts.ts'
import type { start } from './start.ts'

/** What a shell starts: the command as it was built. */
const command = partsIn(__dirname).open('command.cjs') as { readonly start: typeof start }
void command.start(process.argv.slice(2))
