import process from 'node:process'
import { MOST_BYTES, reason, TooLarge } from './files.ts'
import { run } from './program.ts'
import { type Outlet, STATUS } from './shell.ts'

/** The command itself: ties the program to the process it runs in. */

function outlet(stream: NodeJS.WriteStream): Outlet {
  let sending = 0
  // Who closes a pipe early, as `head` does, has read enough: that is no fault.
  stream.on('error', error => {
    // Who sends hears of it by himself.
    if (sending > 0) return
    if ('code' in error && error.code === 'EPIPE') process.exit()
    process.stderr.write(`loftsheet: Standard output cannot be written: ${reason(error)}.\n`)
    process.exit(STATUS.wrong)
  })
  const send = (text: string): Promise<void> => {
    sending++
    return new Promise<void>((done, failed) => {
      stream.write(text, error => (error ? failed(error) : done()))
    }).finally(() => setImmediate(() => sending--))
  }
  return { write: text => void stream.write(text), send, terminal: stream.isTTY === true, columns: stream.columns }
}

async function input(): Promise<Uint8Array> {
  const parts: Uint8Array[] = []
  let total = 0
  for await (const part of process.stdin) {
    total += part.length
    if (total > MOST_BYTES) throw new TooLarge()
    parts.push(part)
  }
  return Buffer.concat(parts)
}

/** Runs the command in this process, with the words after its name; its status is the process's. */
export async function start(words: readonly string[]): Promise<void> {
  process.exitCode = await run(words, {
    out: outlet(process.stdout),
    messages: outlet(process.stderr),
    environment: process.env,
    folder: process.cwd(),
    input,
    library: () => import('../index.ts'),
  })
}
