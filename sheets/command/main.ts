import process from 'node:process'
import { start } from './start.ts'

/** The command from its source, as it is written: `node --import ts-blank-space/register sheets/command/main.ts solve sheets/examples/heron.loft`. */
await start(process.argv.slice(2))
