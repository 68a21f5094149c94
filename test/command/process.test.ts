import { spawn, spawnSync } from 'node:child_process'
import { closeSync, openSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, inject, test } from 'vitest'
import { ownFolder } from '../support/folders.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))
const main = join(inject('built'), 'loftsheet.cjs')
const heron = fileURLToPath(new URL('../../sheets/examples/heron.loft', import.meta.url))

interface Ended {
  readonly status: number | null
  readonly out: string
  readonly messages: string
}

/** Runs the command as a process of its own; `reads` is how much of its output is read before the pipe is closed. */
function started(words: readonly string[], { input = '', reads = Number.POSITIVE_INFINITY } = {}): Promise<Ended> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [main, ...words], {
      cwd: root,
      env: { ...process.env, LC_ALL: 'C.UTF-8' },
    })
    const ended: { out: string; messages: string } = { out: '', messages: '' }
    child.stdout.on('data', part => {
      ended.out += part
      if (ended.out.length >= reads) child.stdout.destroy()
    })
    child.stderr.on('data', part => {
      ended.messages += part
    })
    child.on('error', reject)
    child.on('close', status => resolve({ status, ...ended }))
    child.stdin.on('error', () => {})
    child.stdin.end(input)
  })
}

test('the process ends with the status of the command', async () => {
  const none = await started(['solve', 'none.loft'])
  expect(none).toEqual({
    status: 2,
    out: '',
    messages: 'loftsheet: none.loft cannot be read: there is no such file.\n',
  })
})

test('the Heron sheet solves to the settings of a brute-force search over all of them', async () => {
  const { status, out, messages } = await started(['solve', heron])
  expect({ status, messages }).toEqual({ status: 0, messages: '' })
  expect(out).toContain('SET     fuel fraction   92 %')
  expect(out).toContain('        throttle cap    61 %')
  expect(out).not.toContain('\u001b')
})

test('standard input is read for -', async () => {
  const { status, out } = await started(['check', '-', '--json'], { input: 'fact a = 2 m\nfigure b = 2 * a\n' })
  expect(status).toBe(0)
  expect(JSON.parse(out)).toMatchObject({ known: ['a'], 'worked out': ['b'] })
})

test('a picture as PNG is written without a word of the engine’s', async () => {
  const folder = ownFolder('picture')
  const { messages } = await started(['map', heron, '--out', join(folder, 'heron.png')])
  expect(messages).not.toContain('Warning')
  expect(messages).toMatch(/heron\.png|This machine has no fonts/)
})

test('a reader that closes the pipe early is no fault', async () => {
  const { status, messages } = await started(
    ['fly', heron, '--set', 'throttle cap = 61 %', '--set', 'fuel fraction = 92 %'],
    { reads: 10 },
  )
  expect({ status, messages }).toEqual({ status: 0, messages: '' })
})

test('an output that cannot be written is told in a plain sentence', () => {
  const full = openSync('/dev/full', 'w')
  const { status, stderr } = spawnSync(process.execPath, [main, 'tidy', heron], {
    cwd: root,
    stdio: ['ignore', full, 'pipe'],
    encoding: 'utf8',
  })
  closeSync(full)
  expect({ status, stderr }).toEqual({
    status: 2,
    stderr: 'loftsheet: Standard output cannot be written: the disk is full.\n',
  })
})

test('a full disk ends a run of variants with a plain sentence', () => {
  const full = openSync('/dev/full', 'w')
  const { status, stderr } = spawnSync(process.execPath, [main, 'variants', '-', '--quiet'], {
    cwd: root,
    input: 'fact a = 1 kg\nfigure b = 2 * a\nvariants\n  each a over 1 kg, 2 kg\n',
    stdio: ['pipe', full, 'pipe'],
    encoding: 'utf8',
  })
  closeSync(full)
  expect({ status, stderr }).toEqual({
    status: 2,
    stderr: 'loftsheet: Standard output cannot be written: the disk is full. 0 variants had been written.\n',
  })
})

test('the card is of the flight that is asked for, and says which there are', async () => {
  const folder = ownFolder('card')
  const words = ['card', 'sheets/examples/two-sites.loft', '--out', join(folder, 'card.html'), '--flight']
  expect((await started([...words, 'plateau'])).status).toBe(0)
  expect(readFileSync(join(folder, 'card.html'), 'utf8')).toContain('flight card, plateau')
  const none = await started([...words, 'moor'])
  expect(none.status).toBe(2)
  expect(none.messages).toContain('"moor" is no flight of this sheet. There are: coast, plateau.')
  const bare = await started(['card', '-', ...words.slice(2), 'moor'], { input: 'fact a = 2 m\n' })
  expect(bare.messages).toContain('"moor" is no flight of this sheet. It has none.')
})
