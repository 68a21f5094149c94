import { spawn } from 'node:child_process'
import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, inject, test } from 'vitest'
import { ownFolder } from '../support/folders.ts'

const main = join(inject('built'), 'loftsheet.cjs')

/** A stand-in for a browser that tells its number and prints nothing for a minute. */
const SLEEPER = '#!/bin/sh\necho $$ > "$(dirname "$0")/number"\nexec sleep 60\n'

test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
  'a card that is stopped by %s while it is printed ends its browser and leaves nothing behind',
  async asked => {
    const folder = ownFolder('stopped')
    const [scratch, number, browser] = ['scratch', 'number', 'browser'].map(name => join(folder, name)) as [
      string,
      string,
      string,
    ]
    mkdirSync(scratch)
    writeFileSync(join(folder, 'small.loft'), 'fact a = 1 kg\n')
    writeFileSync(browser, SLEEPER)
    chmodSync(browser, 0o755)
    const child = spawn(process.execPath, [main, 'card', 'small.loft', '--out', 'card.pdf'], {
      cwd: folder,
      env: { ...process.env, TMPDIR: scratch, LOFTSHEET_CHROMIUM: browser },
    })
    const timer = setInterval(() => {
      if (!existsSync(number) || readFileSync(number, 'utf8') === '') return
      clearInterval(timer)
      child.kill(asked)
    }, 10)
    const [status, signal] = await new Promise<readonly [number | null, string | null]>(done =>
      child.on('close', (...ended) => done(ended)),
    )
    clearInterval(timer)
    expect([status, signal]).toEqual([null, asked])
    expect(readdirSync(scratch)).toEqual([])
    expect(readdirSync(folder).sort()).toEqual(['browser', 'number', 'scratch', 'small.loft'])
    // A process that is gone cannot be sent anything.
    expect(() => process.kill(Number(readFileSync(number, 'utf8')), 0)).toThrow('ESRCH')
  },
)
