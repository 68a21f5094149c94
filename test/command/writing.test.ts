import { spawn, spawnSync } from 'node:child_process'
import { chmodSync, mkdirSync, readdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { strFromU8, unzipSync } from 'fflate'
import { expect, test } from 'vitest'
import { refusePlace } from '../../sheets/command/writing.ts'
import { openSheet } from '../../sheets/index.ts'
import type { OpenSheet } from '../../sheets/sheet.ts'
import { folderWith, quietShell, ranIn, ranWith } from './stand-in.ts'
import { TANK } from './tank.ts'

const TABLE = `table drag of mach from "drag.csv"
lever m from 0 to 1
lever n from 0 to 1
figure y = drag(m) + n
must y at least 0.5
`
const ROWS = 'mach,drag\n0,0.2\n1,0.8\n'

/** Each way of a verb to write a file, by the ending of its name. */
const WAYS: readonly (readonly [string, string])[] = [
  ['solve', 'xlsx'],
  ['fly', 'csv'],
  ['fly', 'svg'],
  ['map', 'json'],
  ['map', 'png'],
  ['card', 'html'],
  ['card', 'pdf'],
  ['page', 'html'],
  ['variants', 'csv'],
  ['variants', 'ndjson'],
  ['variants', 'xlsx'],
  ['variants', 'parquet'],
]

/** The library, but nothing is worked out: what a command comes to before that. */
const idle: OpenSheet = (text, options) => {
  const worked = (): never => {
    throw new Error('worked out')
  }
  return { ...openSheet(text, options), solve: worked, fly: worked, map: worked }
}

test.each(WAYS)('%s does not write a .%s over the sheet or a table that it reads', async (verb, ending) => {
  const sheet = TABLE.replace('drag.csv', `drag.${ending}`)
  const folder = folderWith({
    [`sheet.${ending}`]: `${sheet}variants\n  each n over 0.1, 0.2\n`,
    [`drag.${ending}`]: ROWS,
  })
  symlinkSync(join(folder, `drag.${ending}`), join(folder, `link.${ending}`))
  for (const out of ['sheet', 'drag', 'link']) {
    const { status, messages } = await ranIn(folder, verb, `sheet.${ending}`, '--out', `${out}.${ending}`)
    expect([status, messages]).toEqual([
      2,
      `loftsheet: ${out}.${ending} is read here, so it is not written over. Give what is written another name.\n`,
    ])
  }
  expect(readFileSync(join(folder, `drag.${ending}`), 'utf8')).toBe(ROWS)
})

test.each(WAYS)('%s does not write a .%s over a file of variants that the sheet names', async (verb, ending) => {
  const rows = 'n\n0.1\n'
  const folder = folderWith({
    'sheet.loft': `${TABLE}variants from "class.${ending}"\n`,
    'drag.csv': ROWS,
    [`class.${ending}`]: rows,
  })
  const { status, messages } = await ranIn(folder, verb, 'sheet.loft', '--out', `class.${ending}`)
  expect(status).toBe(2)
  expect(messages).toContain(`class.${ending} is read here, so it is not written over.`)
  expect(readFileSync(join(folder, `class.${ending}`), 'utf8')).toBe(rows)
})

test.each(WAYS)('%s tells before its work where no .%s can be written', async (verb, ending) => {
  const folder = folderWith({ 'tank.loft': TANK, file: '' })
  mkdirSync(join(folder, `a.${ending}`))
  const said = async (out: string): Promise<string> => {
    const { status, messages } = await ranWith(idle, folder, [verb, 'tank.loft', '--out', out])
    expect(status).toBe(2)
    return messages
  }
  expect(await said(`a.${ending}`)).toBe(`loftsheet: a.${ending} cannot be written: it is a folder.\n`)
  expect(await said(`none/a.${ending}`)).toContain('cannot be written: there is no such folder.')
  expect(await said(`file/a.${ending}`)).toContain('cannot be written: a part of its path is no folder.')
  expect(await said(`${'a'.repeat(300)}.${ending}`)).toContain('cannot be written: its name is too long.')
})

test('a folder that may not be written to is told before anything is worked out', () => {
  const folder = folderWith({})
  mkdirSync(join(folder, 'closed'), { mode: 0o555 })
  const asked = (): void => refusePlace('closed/a.csv', [], quietShell(openSheet, [[], []], folder))
  // Whoever may do everything is let in everywhere: then as somebody who may not.
  const root = process.geteuid?.() === 0
  if (root) process.seteuid!(65_534)
  try {
    expect(asked).toThrow('closed/a.csv cannot be written: you may not write there.')
  } finally {
    if (root) process.seteuid!(0)
  }
})

test('a name as long as the system lets it be is written, and nothing is left beside it', async () => {
  const folder = folderWith({ 'tank.loft': TANK, 'hop.loft': readFileSync('sheets/examples/heron.loft', 'utf8') })
  const out = `${'a'.repeat(251)}.csv`
  const { status } = await ranIn(
    folder,
    'fly',
    'hop.loft',
    '--set',
    'throttle cap = 61 %',
    '--set',
    'fuel fraction = 92 %',
    '--out',
    out,
  )
  expect(status).toBe(0)
  expect(readdirSync(folder).sort()).toEqual([out, 'hop.loft', 'tank.loft'])
})

test.each(['csv', 'ndjson', 'parquet', 'xlsx'])('a pipe is written into and stays: variants as .%s', async ending => {
  const folder = folderWith({ 'tank.loft': TANK })
  const pipe = join(folder, `a.${ending}`)
  spawnSync('mkfifo', [pipe])
  const heard: Buffer[] = []
  const reader = spawn('cat', [pipe], { stdio: ['ignore', 'pipe', 'ignore'] })
  reader.stdout.on('data', part => heard.push(part))
  const ended = new Promise(done => reader.on('close', done))
  expect((await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--out', `a.${ending}`)).status).toBe(0)
  await ended
  expect(statSync(pipe).isFIFO()).toBe(true)
  await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--out', `b.${ending}`)
  const plain = readFileSync(join(folder, `b.${ending}`))
  // A spreadsheet says when it was written.
  if (ending === 'xlsx') expect(Object.keys(unzipSync(Buffer.concat(heard)))).toEqual(Object.keys(unzipSync(plain)))
  else expect(Buffer.concat(heard).equals(plain)).toBe(true)
})

test('with --json the spreadsheet that is asked for is written as well', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const { status, out, messages } = await ranIn(folder, 'solve', 'tank.loft', '--json', '--out', 'a.xlsx')
  expect([status, messages]).toEqual([0, 'a.xlsx holds the sheet as a spreadsheet.\n'])
  expect(JSON.parse(out)).toMatchObject({ outcome: 'solved' })
  expect(strFromU8(unzipSync(readFileSync(join(folder, 'a.xlsx')))['xl/workbook.xml']!)).toContain('quantities')
})

test('parts are joined into a file through a link, and a folder is told of', async () => {
  const folder = folderWith({ 'tank.loft': TANK, 'far.csv': 'old\n' })
  await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--out', 'whole.csv')
  symlinkSync(join(folder, 'far.csv'), join(folder, 'link.csv'))
  chmodSync(join(folder, 'far.csv'), 0o640)
  mkdirSync(join(folder, 'folder.csv'))
  expect((await ranIn(folder, 'variants', '--join', 'whole.csv', '--out', 'link.csv')).status).toBe(0)
  expect(readFileSync(join(folder, 'far.csv'), 'utf8')).toBe(readFileSync(join(folder, 'whole.csv'), 'utf8'))
  expect(statSync(join(folder, 'far.csv')).mode & 0o777).toBe(0o640)
  const none = await ranIn(folder, 'variants', '--join', 'whole.csv', '--out', 'folder.csv')
  expect(none).toMatchObject({ status: 2, messages: 'loftsheet: folder.csv cannot be written: it is a folder.\n' })
  writeFileSync(join(folder, 'torn.csv'), 'variant\n1\n3\nx\n')
  expect((await ranIn(folder, 'variants', '--join', 'torn.csv', '--out', 'link.csv')).status).toBe(2)
  expect(readFileSync(join(folder, 'far.csv'), 'utf8')).toBe(readFileSync(join(folder, 'whole.csv'), 'utf8'))
  expect(readdirSync(folder).filter(name => name.startsWith('.'))).toEqual([])
})
