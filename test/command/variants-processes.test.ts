import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process'
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { expect, inject, test } from 'vitest'
import { folderWith, ranIn } from './stand-in.ts'
import { FAMILY, TANK } from './tank.ts'

/** Long enough to be broken off. */
const TANKS = `${TANK.replace('0.5 kg', 'need').replace('\n', '\nfact need = 0.5 kg\n')}  each need from 0.2 kg to 0.79 kg in steps of 0.02 kg
`

const BUILT = inject('built')

interface Ended {
  readonly status: number | null
  readonly signal: NodeJS.Signals | null
  readonly out: string
  readonly messages: string
}

/** Runs the command as it is built, as a process. */
function started(
  words: readonly string[],
  during: (child: ChildProcessWithoutNullStreams) => void = () => {},
  environment: Readonly<Record<string, string>> = {},
) {
  return new Promise<Ended>((resolve, reject) => {
    const env = { ...process.env, ...environment }
    const child = spawn(process.execPath, [join(BUILT, 'loftsheet.cjs'), 'variants', ...words], { env })
    const said = { out: '', messages: '' }
    child.stdout.on('data', part => {
      said.out += part
    })
    child.stderr.on('data', part => {
      said.messages += part
    })
    during(child)
    child.on('error', reject)
    child.on('close', (status, signal) => resolve({ status, signal, ...said }))
  })
}

/** Sends a signal as soon as a file holds so many bytes. */
function signalAt(path: string, bytes: number, signal: NodeJS.Signals) {
  return (child: ChildProcessWithoutNullStreams): void => {
    const timer = setInterval(() => {
      if (!existsSync(path) || statSync(path).size < bytes) return
      clearInterval(timer)
      child.kill(signal)
    }, 3)
    child.on('close', () => clearInterval(timer))
  }
}

test('one, two and seven workers write the same bytes', async () => {
  const folder = folderWith({ 'family.loft': FAMILY })
  const words = (out: string, workers: number) => [
    join(folder, 'family.loft'),
    ...['--out', join(folder, out), '--workers', `${workers}`],
  ]
  expect((await ranIn(folder, 'variants', ...words('one.csv', 1))).status).toBe(0)
  const one = readFileSync(join(folder, 'one.csv'), 'utf8')
  expect(one.split('\n')).toHaveLength(18)
  const several = [2, 7]
  const ended = await Promise.all(several.map(workers => started(words(`${workers}.csv`, workers))))
  expect(ended.map(({ status }) => status)).toEqual([0, 0])
  for (const workers of several) expect(readFileSync(join(folder, `${workers}.csv`), 'utf8')).toBe(one)
}, 120_000)

test('killed five times, then stopped by Ctrl-C, a run goes on to the same bytes and the same words', async () => {
  const folder = folderWith({ 'tanks.loft': TANKS })
  const words = (out: string) => [join(folder, 'tanks.loft'), '--workers', '2', '--out', join(folder, out)]
  const whole = await started(words('whole.csv'))
  const bytes = readFileSync(join(folder, 'whole.csv'))
  const path = join(folder, 'killed.csv')
  for (const share of [0, 0.1, 0.22, 0.36, 0.5]) {
    const at = signalAt(path, share * bytes.length, 'SIGKILL')
    const { signal } = await started([...words('killed.csv'), '--resume'], at)
    expect(signal).toBe('SIGKILL')
    expect(bytes.subarray(0, statSync(path).size).equals(readFileSync(path))).toBe(true)
  }
  const stopped = await started([...words('killed.csv'), '--resume'], signalAt(path, 0.64 * bytes.length, 'SIGINT'))
  expect(stopped.signal).toBe('SIGINT')
  expect(stopped.messages).toMatch(
    /Stopped: [\d,]+ of 1,200 variants are in .*killed\.csv\. Go on with the same words and --resume\./,
  )
  const resumed = await started([...words('killed.csv'), '--resume'])
  expect(readFileSync(path).equals(bytes)).toBe(true)
  expect(resumed).toMatchObject({ status: 0, out: whole.out })
}, 120_000)

test('a file that one run writes is left alone by others, by --resume and by --join too', async () => {
  const folder = folderWith({ 'tanks.loft': TANKS })
  const words = (out: string) => [join(folder, 'tanks.loft'), '--workers', '1', '--quiet', '--out', join(folder, out)]
  await started(words('whole.csv'))
  const path = join(folder, 'a.csv')
  let others: Promise<readonly Ended[]> | null = null
  let number: number | undefined
  const first = await started(words('a.csv'), child => {
    number = child.pid
    const timer = setInterval(() => {
      if (!existsSync(path) || statSync(path).size === 0) return
      clearInterval(timer)
      // Held still, so that it is at it whatever the machine is busy with.
      child.kill('SIGSTOP')
      others = Promise.all([
        started(words('a.csv')),
        started([...words('a.csv'), '--resume']),
        started(['--join', path, '--out', join(folder, 'joined.csv')]),
      ])
      void others.then(() => child.kill('SIGCONT'))
    }, 3)
  })
  for (const { status, messages } of await others!) {
    expect(status).toBe(2)
    expect(messages).toContain(
      `a.csv is being written by another run, process ${number} of this machine. Wait for its end`,
    )
  }
  expect(first.status).toBe(0)
  expect(readFileSync(path).equals(readFileSync(join(folder, 'whole.csv')))).toBe(true)
  expect(readdirSync(folder).sort()).toEqual(['a.csv', 'tanks.loft', 'whole.csv'])
}, 120_000)

test('of runs that begin on one file at once one writes it', async () => {
  const folder = folderWith({ 'tanks.loft': TANKS })
  const words = (out: string) => [join(folder, 'tanks.loft'), '--workers', '1', '--quiet', '--out', join(folder, out)]
  await started(words('whole.csv'))
  const ended = await Promise.all([1, 2, 3].map(() => started(words('a.csv'))))
  // One that begins when the first is done writes the same again.
  expect(ended.map(({ status }) => status)).toContain(0)
  for (const { status, messages } of ended)
    if (status !== 0) expect(messages).toContain('is being written by another run')
  expect(readFileSync(join(folder, 'a.csv')).equals(readFileSync(join(folder, 'whole.csv')))).toBe(true)
}, 120_000)

test('a spreadsheet that is stopped leaves nothing behind', async () => {
  const folder = folderWith({ 'tanks.loft': TANKS })
  const scratch = join(folder, 'scratch')
  mkdirSync(scratch)
  const stop = (child: ChildProcessWithoutNullStreams): void => {
    const timer = setInterval(() => {
      const [rows] = readdirSync(scratch).map(each => join(scratch, each, 'rows.csv'))
      if (rows === undefined || !existsSync(rows) || statSync(rows).size < 5000) return
      clearInterval(timer)
      child.kill('SIGINT')
    }, 3)
    child.on('close', () => clearInterval(timer))
  }
  const book = join(folder, 'a.xlsx')
  const { signal, messages } = await started([join(folder, 'tanks.loft'), '--workers', '1', '--out', book], stop, {
    TMPDIR: scratch,
  })
  expect(signal).toBe('SIGINT')
  expect(messages).toMatch(/^Stopped: [\d,]+ of 1,200 variants were solved; .*a\.xlsx is not written\.\n$/)
  expect(existsSync(book)).toBe(false)
  expect(readdirSync(scratch)).toEqual([])
}, 120_000)

test('four processes at once, each with a share, join to the bytes of one run', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const sheet = join(folder, 'tank.loft')
  await ranIn(folder, 'variants', sheet, '--workers', '1', '--out', 'whole.csv')
  const names = Array.from({ length: 4 }, (_, k) => join(folder, `part-${k + 1}.csv`))
  const ended = await Promise.all(
    names.map((name, k) => started([sheet, '--workers', '1', '--share', `${k + 1}/4`, '--out', name, '--quiet'])),
  )
  expect(ended.map(({ status }) => status)).toEqual(names.map(() => 0))
  await ranIn(folder, 'variants', '--join', ...names, '--out', 'joined.csv')
  expect(readFileSync(join(folder, 'joined.csv'), 'utf8')).toBe(readFileSync(join(folder, 'whole.csv'), 'utf8'))
}, 120_000)

test('a reader that goes away, as head does, has read enough: that is no fault, but a picture cannot be drawn any more', async () => {
  const folder = folderWith({ 'tanks.loft': TANKS })
  const words = [join(folder, 'tanks.loft'), '--workers', '2', '--quiet']
  const away: Parameters<typeof started>[1] = child => {
    child.stdout.once('data', () => child.stdout.destroy())
  }
  expect(await started(words, away)).toMatchObject({ status: 0, messages: '' })
  const picture = join(folder, 'a.svg')
  expect(await started([...words, '--picture', picture], away)).toMatchObject({
    status: 2,
    messages: `loftsheet: ${picture} is not drawn: the reader of the rows has gone away.\n`,
  })
  expect(existsSync(picture)).toBe(false)
}, 120_000)
