import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { holderOf } from '../../sheets/command/variants-holder.ts'
import { earlier, type FilePlan, fileOutput } from '../../sheets/command/variants-output.ts'
import { Tally } from '../../sheets/variants/tally.ts'
import { breaking, folderWith, ranIn, ranWith } from './stand-in.ts'
import { TANK } from './tank.ts'

test('a run that was broken off anywhere goes on to the same bytes', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const words = ['variants', 'tank.loft', '--workers', '1', '--out', 'a.csv']
  const whole = await ranIn(folder, ...words)
  const path = join(folder, 'a.csv')
  const bytes = readFileSync(path)
  await ranWith(breaking(1), folder, words)
  const record = readFileSync(`${path}.run`, 'utf8')
  for (const cut of [0, 10, 96, 97, 400, 401, 1000, bytes.length - 1, bytes.length]) {
    writeFileSync(`${path}.run`, record)
    writeFileSync(path, bytes.subarray(0, cut))
    const refused = await ranIn(folder, ...words)
    expect(refused).toMatchObject({ status: 2 })
    expect(refused.messages).toContain('Go on with it: --resume')
    const resumed = await ranIn(folder, ...words, '--resume')
    expect(readFileSync(path).equals(bytes)).toBe(true)
    expect(resumed.out).toBe(whole.out)
    expect(existsSync(`${path}.run`)).toBe(false)
  }
  expect((await ranIn(folder, ...words, '--resume')).messages).toContain('a.csv is whole already')
})

test('with rows left out a broken run goes on to the same bytes and the same summary', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const words = ['variants', 'tank.loft', '--workers', '1', '--out', 'a.csv', '--only', 'solved']
  const whole = await ranIn(folder, ...words)
  const bytes = readFileSync(join(folder, 'a.csv'))
  expect(bytes.toString().trimEnd().split('\n')).toHaveLength(37)
  for (const at of [1, 2, 4]) {
    expect((await ranWith(breaking(at), folder, words)).status).toBe(4)
    expect(readFileSync(join(folder, 'a.csv')).length).toBeLessThan(bytes.length)
    const resumed = await ranIn(folder, ...words, '--resume')
    expect(resumed).toEqual(whole)
    expect(readFileSync(join(folder, 'a.csv')).equals(bytes)).toBe(true)
  }
})

test('rows that lay there before a run emptied its file are not counted as its own', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const words = ['variants', 'tank.loft', '--workers', '1', '--out', 'a.csv']
  await ranIn(folder, ...words)
  const path = join(folder, 'a.csv')
  const whole = readFileSync(path)
  await ranWith(breaking(3), folder, words)
  const { begun } = JSON.parse(readFileSync(`${path}.run`, 'utf8')) as { begun: string }
  // As it is left by a run that was killed between taking the file and emptying it.
  writeFileSync(path, whole.subarray(0, 200).toString().replace(/[1-9]/g, '7'))
  writeFileSync(`${path}.run`, JSON.stringify({ begun, fresh: true }))
  expect((await ranIn(folder, ...words, '--resume')).status).toBe(0)
  expect(readFileSync(path).equals(whole)).toBe(true)
})

test('a file whose record is only just being made is left alone, and how to free it is told', async () => {
  const folder = folderWith({ 'tank.loft': TANK, 'a.csv': 'variant\n', 'a.csv.run': '' })
  const words = ['variants', 'tank.loft', '--workers', '1', '--out', 'a.csv']
  for (const all of [words, [...words, '--resume']]) {
    const { status, messages } = await ranIn(folder, ...all)
    expect([status, messages]).toEqual([
      2,
      'loftsheet: a.csv is being written by another run that has only just begun. Wait for its end; if nothing is at it, remove a.csv.run.\n',
    ])
  }
  expect(readFileSync(join(folder, 'a.csv'), 'utf8')).toBe('variant\n')
})

test('a run that another has gone on with while its rows were counted is left alone', async () => {
  const path = join(folderWith({ 'a.csv': 'variant\n1\n', 'a.csv.run': '{"begun":"so"}' }), 'a.csv')
  const columns = [{ header: 'variant', role: 'variant', name: 'variant', unit: '' }] as const
  const plan: FilePlan = { path, named: 'a.csv', columns, format: 'csv', begun: 'so', sparse: false }
  const old = await earlier(plan, {})
  expect(old).toMatchObject({ bytes: 10, whole: false })
  // What started the tests runs as long as they do.
  const record = JSON.stringify({ begun: 'so', by: holderOf(process.ppid) })
  writeFileSync(`${path}.run`, record)
  await expect(fileOutput(plan, old, new Tally(columns, {}))).rejects.toThrow('a.csv is being written by another run')
  expect([readFileSync(path, 'utf8'), readFileSync(`${path}.run`, 'utf8')]).toEqual(['variant\n1\n', record])
})

test('parts are not joined into a file that a run writes still, or was broken off in, however late it took it', async () => {
  const lines = Array.from({ length: 2000 }, (_, k) => `${k + 1},solved,${'so '.repeat(100)}\n`)
  const rows = `variant,outcome,note\n${lines.join('')}`
  const folder = folderWith({ 'part.csv': rows, 'a.csv': 'variant\n1\n' })
  const path = join(folder, 'a.csv')
  const words = ['variants', '--join', 'part.csv', '--out', 'a.csv']
  const held = JSON.stringify({ begun: 'so', by: holderOf(process.ppid) })
  for (const [record, said] of [
    [held, 'a.csv is being written by another run, process'],
    ['{"begun":"so"}', 'a.csv holds a run that was broken off. Go on with it: --resume.'],
    ['', 'a.csv is being written by another run that has only just begun.'],
  ] as const) {
    writeFileSync(`${path}.run`, record)
    const { status, messages } = await ranIn(folder, ...words)
    expect([status, messages]).toEqual([2, expect.stringContaining(said)])
  }
  rmSync(`${path}.run`)
  const late = ranIn(folder, ...words)
  const begun = setInterval(() => {
    // Begun on once what is joined is being written beside it.
    if (readdirSync(folder).some(name => name.endsWith('.new'))) writeFileSync(`${path}.run`, held)
  })
  expect((await late).messages).toContain('a.csv is being written by another run, process')
  clearInterval(begun)
  expect(readFileSync(path, 'utf8')).toBe('variant\n1\n')
  expect(readdirSync(folder).sort()).toEqual(['a.csv', 'a.csv.run', 'part.csv'])
  rmSync(`${path}.run`)
  expect((await ranIn(folder, ...words)).status).toBe(0)
  expect(readFileSync(path, 'utf8')).toBe(rows)
})

test('a run is gone on with only from the same sheet and the same words', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const words = ['variants', 'tank.loft', '--workers', '1', '--out', 'a.csv']
  await ranWith(breaking(3), folder, words)
  const other = await ranIn(folder, ...words, '--resume', '--set', 'a = 2 kg')
  expect(other.status).toBe(2)
  writeFileSync(join(folder, 'tank.loft'), TANK.replace('0.5 kg', '0.6 kg'))
  expect((await ranIn(folder, ...words, '--resume')).messages).toContain('was begun from another sheet')
})

test('a run is begun anew where there is only its record, or only an empty file', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const words = ['variants', 'tank.loft', '--workers', '1', '--out', 'a.ndjson']
  await ranIn(folder, ...words)
  const path = join(folder, 'a.ndjson')
  const whole = readFileSync(path, 'utf8')
  await ranWith(breaking(3), folder, words)
  rmSync(path)
  expect((await ranIn(folder, ...words, '--resume')).status).toBe(0)
  expect(readFileSync(path, 'utf8')).toBe(whole)
  writeFileSync(path, '')
  expect((await ranIn(folder, ...words, '--resume')).status).toBe(0)
  expect(readFileSync(path, 'utf8')).toBe(whole)
})

test('what no run has written is not gone on with', async () => {
  const folder = folderWith({ 'tank.loft': TANK, 'other.ndjson': '{"a":1}\n' })
  mkdirSync(join(folder, 'folder.csv'))
  const said = async (named: string) => {
    const { status, messages } = await ranIn(
      folder,
      'variants',
      'tank.loft',
      '--workers',
      '1',
      '--resume',
      '--out',
      named,
    )
    expect(status).toBe(2)
    return messages
  }
  expect(await said('other.ndjson')).toContain('other.ndjson is there already and holds something else')
  expect(await said('folder.csv')).toContain('folder.csv cannot be written: it is a folder.')
  await ranWith(breaking(3), folder, ['variants', 'tank.loft', '--workers', '1', '--out', 'a.ndjson'])
  writeFileSync(join(folder, 'a.ndjson'), 'rows\n')
  expect(await said('a.ndjson')).toContain('a.ndjson cannot be gone on with: its rows are not as they were written.')
})
