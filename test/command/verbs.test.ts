import { mkdirSync, readdirSync, readFileSync, statSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import { error, remark, warning } from '../../grammar/source.ts'
import packageFile from '../../package.json' with { type: 'json' }
import { conflict, heron, unsure } from '../sheets/answers.ts'
import { command, flown, folderWith, type Library, ranIn } from './stand-in.ts'

const folder = folderWith({ 'heron.loft': 'sheet "Heron"\n' })
const atHome = { folder }
const wrongLine = error({ line: 1, column: 1, length: 5 }, 'This line says nothing.', 'Write a fact.')

test('solve prints the page and exits by its outcome', async () => {
  const solved = await command(['solve', 'heron.loft'], {}, atHome)
  expect(solved).toMatchObject({ status: 0, messages: '' })
  expect(solved.out).toContain('SET     fuel fraction   92 %')
  expect((await command(['solve', 'heron.loft'], { answer: conflict }, atHome)).status).toBe(1)
  expect((await command(['solve', 'heron.loft'], { answer: unsure }, atHome)).status).toBe(3)
})

test('a faulty sheet is told on standard error, with status 2 and nothing on standard output', async () => {
  const answer = { ...heron, outcome: 'faulty' as const, problems: [wrongLine] }
  const ran = await command(['solve', 'heron.loft'], { answer }, atHome)
  expect(ran).toMatchObject({ status: 2, out: '' })
  expect(ran.messages).toContain('heron.loft:1:1: error: This line says nothing.')
  expect(ran.messages).toContain('Write a fact.')
})

test('warnings of a sheet that solves go to standard error', async () => {
  const answer = {
    ...heron,
    problems: [warning({ line: 12, column: 7, length: 0 }, '"throttle cap" at 55.5 % is between its steps.')],
  }
  const ran = await command(['solve', 'heron.loft'], { answer }, atHome)
  expect(ran.messages).toBe('warning: "throttle cap" at 55.5 % is between its steps.\n')
  expect(ran.out).toContain('SET')
})

test('--json prints one document and nothing else, infinite as a word and no value as null', async () => {
  const odd = { ...heron.quantities['dry mass']!, si: Number.POSITIVE_INFINITY, value: Number.NaN }
  const answer = { ...heron, quantities: { odd }, problems: [wrongLine] }
  const ran = await command(['solve', '--json', 'heron.loft'], { answer }, atHome)
  expect(ran.messages).toBe('')
  const read = JSON.parse(ran.out)
  expect(read.quantities.odd).toMatchObject({ si: 'infinity', value: null })
  expect(read.outcome).toBe('solved')
  expect(ran.out.endsWith('}\n')).toBe(true)
})

test('--set may be repeated, and holds a name and a value', async () => {
  const opened: NonNullable<Library['opened']> = []
  await command(
    ['solve', 'heron.loft', '--set', ' dry  mass = 180 kg', '--set', 'cap=if a = b then 1 else 2'],
    { opened },
    atHome,
  )
  expect(opened[0]!.set).toEqual({ 'dry mass': '180 kg', cap: 'if a = b then 1 else 2' })
  for (const wrong of ['dry mass', '= 3', 'dry mass =', '']) {
    const ran = await command(['solve', 'heron.loft', '--set', wrong], {}, atHome)
    expect(ran).toMatchObject({ status: 2, out: '' })
    expect(ran.messages).toContain('--set takes a name, an equals sign and a value')
  }
  const twice = await command(['solve', 'heron.loft', '--set', 'a=1', '--set', 'a = 2'], {}, atHome)
  expect(twice).toMatchObject({ status: 2, messages: 'loftsheet: --set gives "a" twice.\n' })
})

test('a name such as __proto__ in --set is a name like any other', async () => {
  const opened: NonNullable<Library['opened']> = []
  await command(['solve', 'heron.loft', '--set', '__proto__ = 1'], { opened }, atHome)
  expect(Object.entries(opened[0]!.set!)).toEqual([['__proto__', '1']])
})

test('check prints what is known, free, worked out and asked for', async () => {
  const ran = await command(['check', 'heron.loft'], {}, atHome)
  expect(ran.status).toBe(0)
  expect(ran.out).toContain('known         dry mass')
  expect(ran.out).toContain('In order: 1 lever, 1 target.')
  const faulty = await command(['check', 'heron.loft'], { problems: [wrongLine] }, atHome)
  expect(faulty.status).toBe(2)
  expect(faulty.messages).toContain('This line says nothing.')
  const asJson = await command(['check', '--json', 'heron.loft'], { problems: [wrongLine] }, atHome)
  expect(asJson).toMatchObject({ status: 2, messages: '' })
  expect(Object.keys(JSON.parse(asJson.out))).toEqual([
    'problems',
    'known',
    'levers',
    'worked out',
    'targets',
    'left over',
    'remarks',
  ])
})

test('warnings of a check go to standard error and leave its status at 0; remarks stand on the page', async () => {
  const idle = warning({ line: 1, column: 1, length: 5 }, 'Nothing reads "colour".')
  const small = remark({ line: 1, column: 1, length: 5 }, 'Nothing asks for "gain"; it is only shown.')
  const found = { problems: [idle], remarks: [small], 'left over': ['colour', 'gain'] }
  const ran = await command(['check', 'heron.loft'], { check: found }, atHome)
  expect(ran.status).toBe(0)
  expect(ran.messages).toContain('heron.loft:1:1: warning: Nothing reads "colour".')
  expect(ran.messages).not.toContain('gain')
  expect(ran.out).toContain('left over     colour, gain')
  expect(ran.out).toContain('line 1: Nothing asks for "gain"; it is only shown.')
  expect(ran.out).toContain('In order, with 1 warning: 1 lever, 1 target.')
  const asJson = await command(['check', '--json', 'heron.loft'], { check: found }, atHome)
  expect(asJson).toMatchObject({ status: 0, messages: '' })
  expect(JSON.parse(asJson.out)).toMatchObject({ problems: [{ severity: 'warning' }], 'left over': ['colour', 'gain'] })
})

test('names of a check are broken only between names', async () => {
  const known = Array.from({ length: 30 }, (_, place) => `a name of several words ${place}`.replace(' of', ''))
  const { out } = await command(['check', 'heron.loft'], { check: { known } }, atHome)
  expect(out.split('\n').filter(line => line.length > 80)).toEqual([])
  expect(out).not.toMatch(/several\n|name\n/)
})

test('fly writes the history as CSV with units in its headers', async () => {
  const ran = await command(['fly', 'heron.loft'], {}, atHome)
  expect(ran.status).toBe(0)
  // Read back by csv-parse, which knows nothing of how it was written.
  expect(parse(ran.out)).toEqual([
    ['time [s]', 'altitude [m]', 'mach'],
    ['0', '0', '0'],
    ['0.5', '12.25', ''],
    ['1', '-1e-7', '0.3'],
  ])
})

test('fly --out writes a file and says so', async () => {
  const there = folderWith({ 'heron.loft': '' })
  const ran = await command(['fly', 'heron.loft', '--out', 'hop.csv'], {}, { folder: there })
  expect(ran).toMatchObject({ status: 0, out: '' })
  expect(ran.messages).toContain('hop.csv holds the flight')
  expect(readFileSync(join(there, 'hop.csv'), 'utf8')).toMatch(/^time \[s\],altitude \[m\],mach\n0,0,0\n/)
  expect(readdirSync(there).sort()).toEqual(['heron.loft', 'hop.csv'])
})

test('fly --json has no NaN in its rows, and typed arrays are lists', async () => {
  const typed = { ...flown, history: { ...flown.history, rows: flown.history.rows.map(row => Float64Array.from(row)) } }
  const ran = await command(['fly', 'heron.loft', '--json'], { flown: typed }, atHome)
  expect(JSON.parse(ran.out)).toEqual({
    ...flown,
    history: {
      ...flown.history,
      rows: [
        [0, 0, 0],
        [0.5, 12.25, null],
        [1, -1e-7, 0.3],
      ],
    },
  })
})

test('fly names the flight it is asked for, and refuses what it cannot write', async () => {
  const opened: NonNullable<Library['opened']> = []
  await command(['fly', 'heron.loft', '--flight', 'hop'], { opened }, atHome)
  expect(opened[0]!.flight).toBe('hop')
  const picture = await command(['fly', 'heron.loft', '--out', 'hop.svg', '--theme', 'slate'], {}, atHome)
  expect(picture).toMatchObject({ status: 0, out: '', messages: 'hop.svg shows the flight, which comes down.\n' })
  expect(readFileSync(join(folder, 'hop.svg'), 'utf8')).toMatch(/^<svg [\s\S]*#1E2529[\s\S]*<\/svg>\n$/)
  const dark = await command(['fly', 'heron.loft', '--out', 'hop.svg', '--theme', 'dark'], {}, atHome)
  expect(dark).toMatchObject({ status: 2, messages: 'loftsheet: "--theme dark" is neither paper nor slate.\n' })
  expect((await command(['fly', 'heron.loft', '--out', 'hop.doc'], {}, atHome)).status).toBe(2)
  const nowhere = await command(['fly', 'heron.loft', '--out', 'none/hop.csv'], {}, atHome)
  expect(nowhere).toMatchObject({
    status: 2,
    messages: 'loftsheet: none/hop.csv cannot be written: there is no such folder.\n',
  })
})

test('where the levers of a flight cannot be solved, fly exits as solve would', async () => {
  for (const [outcome, status] of [
    ['conflict', 1],
    ['faulty', 2],
    ['unsure', 3],
  ] as const) {
    const none = { ...flown, outcome, history: { columns: [], units: [], rows: [] } }
    expect(await command(['fly', 'heron.loft'], { flown: none }, atHome)).toMatchObject({ status, out: '' })
  }
  const never = { ...flown, outcome: 'could not be flown', history: { ...flown.history, rows: [] } }
  expect(await command(['fly', 'heron.loft'], { flown: never }, atHome)).toMatchObject({ status: 2, out: '' })
  const none = { ...flown, outcome: 'conflict', history: { columns: [], units: [], rows: [] } }
  expect((await command(['fly', 'heron.loft'], { flown: none }, atHome)).messages).toContain(
    'the musts cannot all be met',
  )
})

test('tidy prints, and with --write puts the text in the place of the file', async () => {
  const there = folderWith({ 'a.loft': 'fact  a=1\n' })
  expect(await command(['tidy', 'a.loft'], { tidied: 'fact a = 1\n' }, { folder: there })).toMatchObject({
    status: 0,
    out: 'fact a = 1\n',
  })
  expect(readFileSync(join(there, 'a.loft'), 'utf8')).toBe('fact  a=1\n')
  const written = await command(['tidy', 'a.loft', '--write'], { tidied: 'fact a = 1\n' }, { folder: there })
  expect(written).toMatchObject({ status: 0, out: '', messages: 'a.loft was tidied.\n' })
  expect(readFileSync(join(there, 'a.loft'), 'utf8')).toBe('fact a = 1\n')
  expect(readdirSync(there)).toEqual(['a.loft'])
  expect((await command(['tidy', 'a.loft', '--write'], {}, { folder: there })).messages).toBe(
    'a.loft is tidy already.\n',
  )
})

test('tidy --write keeps the line ends of a file', async () => {
  const there = folderWith({ 'a.loft': 'fact  a=1\r\nfact b =  2\r\n' })
  expect((await ranIn(there, 'tidy', 'a.loft', '--write')).messages).toBe('a.loft was tidied.\n')
  expect(readFileSync(join(there, 'a.loft'), 'utf8')).toBe('fact  a  = 1\r\nfact  b  = 2\r\n')
  expect((await ranIn(there, 'tidy', 'a.loft', '--write')).messages).toBe('a.loft is tidy already.\n')
})

test('tidy --write keeps who may read a file, and writes through a link to what it points at', async () => {
  const there = folderWith({ 'a.loft': 'x\n' })
  writeFileSync(join(there, 'a.loft'), 'x\n', { mode: 0o600 })
  symlinkSync(join(there, 'a.loft'), join(there, 'b.loft'))
  const mode = statSync(join(there, 'a.loft')).mode
  await command(['tidy', 'b.loft', '--write'], { tidied: 'y\n' }, { folder: there })
  expect(readFileSync(join(there, 'a.loft'), 'utf8')).toBe('y\n')
  expect(statSync(join(there, 'a.loft')).mode).toBe(mode)
})

test('tidy leaves a sheet with errors alone', async () => {
  const there = folderWith({ 'a.loft': 'nonsense\n' })
  const ran = await command(['tidy', 'a.loft', '--write'], { problems: [wrongLine], tidied: '' }, { folder: there })
  expect(ran).toMatchObject({ status: 2, out: '' })
  expect(ran.messages).toContain('The sheet was not tidied: mend it first.')
  expect(readFileSync(join(there, 'a.loft'), 'utf8')).toBe('nonsense\n')
})

test('- reads standard input, which cannot be written back to', async () => {
  const opened: NonNullable<Library['opened']> = []
  await command(['check', '-'], { opened }, { input: '\ufefffact a = 1\n' })
  expect(opened[0]).toMatchObject({ text: 'fact a = 1\n', options: { name: 'standard input' } })
  expect(await command(['tidy', '-', '--write'], {}, { input: '' })).toMatchObject({ status: 2, out: '' })
})

test('a file that cannot be read is told in a plain sentence', async () => {
  mkdirSync(join(folder, 'inner'), { recursive: true })
  const told: Readonly<Record<string, string>> = {
    'none.loft': 'there is no such file',
    inner: 'it is a folder',
    'heron.loft/x': 'a part of its path is no folder',
    'a\0b': 'its name holds a character that no name may',
    [`${'x'.repeat(300)}.loft`]: 'its name is too long',
    '/dev/zero': 'it is larger than any sheet or table may be',
  }
  for (const [named, reason] of Object.entries(told)) {
    const ran = await command(['solve', named], {}, atHome)
    expect(ran.status, named).toBe(2)
    expect(ran.messages, named).toContain(`cannot be read: ${reason}.\n`)
  }
})

test('a table may be read from the folder of the sheet and those inside it, and from nowhere else unless allowed', async () => {
  const outer = folderWith({ 'secret.csv': '1\n' })
  const there = join(outer, 'sheets')
  mkdirSync(join(there, 'tables'), { recursive: true })
  writeFileSync(join(there, 'a.loft'), '')
  writeFileSync(join(there, 'tables', 'drag.csv'), '\ufeff2\n')
  symlinkSync(join(outer, 'secret.csv'), join(there, 'link.csv'))
  const ask = async (asks: string, ...words: string[]) => {
    const opened: NonNullable<Library['opened']> = []
    await command(['check', 'sheets/a.loft', ...words], { asks, opened }, { folder: outer })
    return opened[0]!.loaded ?? opened[0]!.refused
  }
  expect(await ask('tables/drag.csv')).toBe('2\n')
  expect(await ask('./tables/../tables/drag.csv')).toBe('2\n')
  expect(await ask('none.csv')).toBe('there is no such file.')
  for (const outside of ['../secret.csv', 'link.csv', join(outer, 'secret.csv'), '../none.csv']) {
    expect(await ask(outside), outside).toBe(
      'it lies outside the folder of the sheet. Move it there, or allow it with --allow-outside.',
    )
  }
  expect(await ask('../secret.csv', '--allow-outside')).toBe('1\n')
})

test('wrong words of the command give status 2 and say what is wrong', async () => {
  const wrong: readonly (readonly [string[], string])[] = [
    [[], 'Usage: loftsheet'],
    [['sove', 'heron.loft'], 'loftsheet: "sove" is no verb. Did you mean solve?\n'],
    [["it's\u001b[31m"], 'loftsheet: "it\'s\ufffd[31m" is no verb. loftsheet --help lists them.\n'],
    [['help', 'sove'], 'loftsheet: "sove" is no verb. Did you mean solve?\n'],
    [['solve'], 'loftsheet: A file is missing: name the sheet, such as heron.loft, or - for standard input.\n'],
    [['solve', ''], 'loftsheet: "" is no name of a file.'],
    [['solve', 'a', 'b', 'c'], 'loftsheet: solve takes one word besides its options, not 3. Words that belong'],
    [['solve', 'heron.loft', '--jsn'], 'loftsheet: "--jsn" is no option of this verb. Did you mean --json?\n'],
    [['solve', 'heron.loft', '--set'], 'loftsheet: --set takes something behind it: --set <name=value>.\n'],
    [['check', 'heron.loft', '--set', 'a=1'], '"--set" is no option of this verb. Its help, with --help behind'],
    [['tidy', 'heron.loft', '--json'], '"--json" is no option of this verb.'],
  ]
  for (const [words, told] of wrong) {
    const ran = await command(words, {}, atHome)
    expect(ran, words.join(' ')).toMatchObject({ status: 2, out: '' })
    expect(ran.messages, words.join(' ')).toContain(told)
  }
})

test('help and version go to standard output with status 0', async () => {
  const help = await command(['--help'])
  expect(help).toMatchObject({ status: 0, messages: '' })
  for (const word of ['solve', 'check', 'fly', 'tidy', 'Exit status', 'Examples:']) expect(help.out).toContain(word)
  expect(help.out.split('\n').filter(line => line.length > 80)).toEqual([])
  expect((await command(['solve', '--help'])).out).toContain('--set "dry mass = 180 kg"')
  expect(await command(['help', 'solve'])).toEqual(await command(['solve', '--help']))
  expect(await command(['--version'])).toEqual({ status: 0, out: `${packageFile.version}\n`, messages: '' })
})

test('a fault of our own is a plain sentence with status 4, and its trace is for whoever asks', async () => {
  const fault = new Error('row 3 has no pivot')
  const ran = await command(['solve', 'heron.loft'], { fault }, atHome)
  expect(ran).toMatchObject({ status: 4, out: '' })
  expect(ran.messages).toBe('Something of ours went wrong; your sheet is as it was. LOFTSHEET_TRACE=1 shows where.\n')
  const traced = await command(['solve', 'heron.loft'], { fault }, { folder, environment: { LOFTSHEET_TRACE: '1' } })
  expect(traced.messages).toContain('row 3 has no pivot\n    at ')
})

test('colour is for terminals, unless it is refused', async () => {
  const steering = '\u001b['
  expect((await command(['solve', 'heron.loft'], {}, atHome)).out).not.toContain(steering)
  const terminal = { folder, terminal: true, columns: 80 }
  expect((await command(['solve', 'heron.loft'], {}, terminal)).out).toContain(`${steering}1m92 %${steering}22m`)
  for (const environment of [{ NO_COLOR: '1' }, { TERM: 'dumb' }]) {
    expect((await command(['solve', 'heron.loft'], {}, { ...terminal, environment })).out).not.toContain(steering)
  }
})

test('a narrow terminal gets a narrow page, and one without UTF-8 plain letters', async () => {
  const narrow = await command(
    ['solve', 'heron.loft'],
    {},
    { folder, terminal: true, columns: 50, environment: { NO_COLOR: '1' } },
  )
  expect(narrow.out.split('\n').filter(line => line.length > 50)).toEqual([])
  // Where it goes to a file or another program nobody tells of a width but COLUMNS.
  const widest = async (columns: string): Promise<number> => {
    const { out } = await command(['solve', 'heron.loft'], {}, { folder, environment: { COLUMNS: columns } })
    return Math.max(...out.split('\n').map(line => line.length))
  }
  expect(await Promise.all(['50', '1', '', '-50', 'wide', '300'].map(widest))).toEqual([50, 40, 80, 80, 80, 100])
  const plain = await command(['solve', 'heron.loft'], {}, { folder, environment: { LANG: 'C' } })
  expect(plain.out).toMatch(/^[\n\x20-\x7e]+$/)
})

test("what would steer a terminal is taken out of a sheet's own words", async () => {
  const answer = { ...heron, sheet: 'Heron \u001b[2J 3' }
  expect((await command(['solve', 'heron.loft'], { answer }, atHome)).out).not.toContain('\u001b')
})
