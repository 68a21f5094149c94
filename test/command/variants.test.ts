import { existsSync, readFileSync, symlinkSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { breaking, folderWith, ranIn, ranWith } from './stand-in.ts'
import { FAMILY, TANK } from './tank.ts'

test('rows go to standard output as CSV, the summary to the messages', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const { status, out, messages } = await ranIn(folder, 'variants', 'tank.loft', '--workers', '1')
  expect(status).toBe(0)
  const lines = out.trimEnd().split('\n')
  expect(lines[0]).toBe(
    'variant,a [kg],outcome,fill [%],load [kg],margin of load at least,margin of fill at most,problem',
  )
  expect(lines).toHaveLength(41)
  expect(lines[1]).toBe('1,0.1,conflict,100,0.1,-0.8,-0.25,')
  expect(lines[10]).toBe('10,1,solved,50,0.5,0,0.375,')
  expect(messages).toContain('40 variants of A tank')
  expect(messages.replace(/\n/g, ' ')).toContain(
    'What decides most is a: 60 % of the variants are solved from 0.1 kg to 1 kg and 100 % from 1.1 kg to 4 kg.',
  )
})

test('a file of either kind holds the same rows, and JSON is one document', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--out', 'a.csv')
  await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--out', 'a.ndjson')
  const rows = readFileSync(join(folder, 'a.ndjson'), 'utf8')
    .trimEnd()
    .split('\n')
    .map(line => JSON.parse(line))
  const { out } = await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--json')
  const document = JSON.parse(out)
  expect(document.rows).toEqual(rows)
  expect(document.summary.tally.outcomes).toEqual({ solved: 36, conflict: 4, unsure: 0, faulty: 0 })
  expect(rows).toEqual([...openSheet(TANK).variants()])
  const csv = readFileSync(join(folder, 'a.csv'), 'utf8').trimEnd().split('\n')
  expect(csv[10]).toBe(
    Object.values(rows[9])
      .map(cell => cell ?? '')
      .join(','),
  )
})

test('the JSON of a wrong sheet is one document as well', async () => {
  const folder = folderWith({ 'wrong.loft': 'fact a = b\nvariants\n  each a over 1, 2\n' })
  const { status, out, messages } = await ranIn(folder, 'variants', 'wrong.loft', '--json')
  expect([status, messages]).toEqual([2, ''])
  expect(JSON.parse(out)).toMatchObject({ outcome: 'faulty', rows: [], problems: [{ line: 1, column: 10 }, {}] })
})

test('what is asked of a picture is refused where none is', async () => {
  const folder = folderWith({
    'tank.loft': `${TANK}  each need over 0.5 kg\n`
      .replace('0.5 kg\nshould', 'need\nshould')
      .replace('\n', '\nfact need = 0.5 kg\n'),
  })
  const { status, out, messages } = await ranIn(folder, 'variants', 'tank.loft', '--across', 'need')
  expect([status, out]).toEqual([2, ''])
  expect(messages).toBe('loftsheet: --across and --up are of a picture: name its file with --picture.\n')
})

test('a picture of too many pairs says how to go on without it', async () => {
  const pairs = `${TANK}  each need over 0.5 kg\n`
    .replace('0.5 kg\nshould', 'need\nshould')
    .replace('\n', '\nfact need = 0.5 kg\n')
  const folder = folderWith({
    'tank.loft': pairs
      .replace('in steps of 0.1 kg', 'in steps of 0.01 kg')
      .replace('each need over 0.5 kg', 'each need from 0.2 kg to 0.8 kg in steps of 0.02 kg'),
  })
  const words = ['variants', 'tank.loft', '--workers', '1', '--out', 'a.csv']
  const { status, messages } = await ranIn(folder, ...words, '--picture', 'a.svg')
  expect(status).toBe(2)
  expect(messages).toContain('too many pairs of values for a picture, over 10,000. Go on without it: --resume.')
  expect((await ranIn(folder, ...words, '--resume', '--quiet')).status).toBe(0)
  expect((await ranIn(folder, ...words, '--resume', '--picture', 'a.svg')).messages).toBe(
    'a.csv is whole already; there is nothing to go on with. For a.svg solve them anew, without --resume.\n',
  )
})

test('nothing that is read is written over, and what has no place is refused before anything is solved', async () => {
  const files = {
    'tank.csv': `${TANK.slice(0, TANK.indexOf('variants'))}variants from "tanks.csv"\nvariants\n  each a over 1 kg, loss(0) * 1 kg\ntable loss of x from "loss.csv"\n`,
    'tanks.csv': 'a [kg]\n1\n',
    'loss.csv': 'x,loss\n0,1\n1,2\n',
  }
  const folder = folderWith(files)
  symlinkSync(join(folder, 'tanks.csv'), join(folder, 'linked.csv'))
  for (const named of ['tank.csv', './tanks.csv', 'loss.csv', 'linked.csv']) {
    const { status, messages } = await ranIn(folder, 'variants', 'tank.csv', '--workers', '1', '--out', named)
    expect(status).toBe(2)
    expect(messages).toContain(`${named} is read here, so it is not written over.`)
  }
  for (const [named, text] of Object.entries(files)) expect(readFileSync(join(folder, named), 'utf8')).toBe(text)
  const family = folderWith({ 'family.loft': FAMILY })
  const nowhere = (...words: readonly string[]) => ranWith(breaking(1), family, ['variants', 'family.loft', ...words])
  const refused = (named: string) => ({
    status: 2,
    out: '',
    messages: `loftsheet: ${named} cannot be written: there is no such folder.\n`,
  })
  expect(await nowhere('--out', 'none/a.csv')).toEqual(refused('none/a.csv'))
  expect(await nowhere('--out', 'none/a.xlsx')).toEqual(refused('none/a.xlsx'))
  expect(await nowhere('--out', 'a.csv', '--picture', 'none/a.svg')).toEqual(refused('none/a.svg'))
  expect(existsSync(join(family, 'a.csv'))).toBe(false)
})

test('variants of a file are read row by row, broken files and all', async () => {
  const rows = Array.from({ length: 100 }, (_, k) => `${k + 1},name ${k}`)
  rows[3] = '4'
  // Names that every object has are words like any other.
  rows[4] = '5,constructor'
  rows[5] = '6,__proto__'
  const folder = folderWith({
    'tank.loft': `${TANK.slice(0, TANK.indexOf('variants'))}variants from "tanks.csv"\n`,
    'tanks.csv': `a [kg],label\n# none here\n${rows.join('\n')}\n"7,never closed\n8,eight\n`,
  })
  const { out, status } = await ranIn(folder, 'variants', 'tank.loft', '--workers', '1')
  expect(status).toBe(0)
  const lines = out.trimEnd().split('\n')
  expect(lines).toHaveLength(102)
  expect(lines[4]).toBe('4,4,,faulty,,,,,This row has 1 cell where the first row has 2.')
  expect(lines[101]).toMatch(/^101,,,faulty,,,,,"?From here on the file cannot be read: /)
  expect(out).toContain('100,100,name 99,solved,')
  const parts = await Promise.all(
    [1, 2, 3].map(i => ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--share', `${i}/3`)),
  )
  const all = parts.flatMap(part => part.out.trimEnd().split('\n').slice(1))
  expect(new Set(all)).toEqual(new Set(lines.slice(1)))
})

test('sixteen shares join to the bytes of one run', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--out', 'whole.csv')
  const names = Array.from({ length: 16 }, (_, k) => `part-${k + 1}.csv`)
  for (const [k, name] of names.entries())
    await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--share', `${k + 1}/16`, '--out', name)
  const joined = await ranIn(folder, 'variants', '--join', ...names.toReversed(), '--out', 'joined.csv')
  expect(joined).toEqual({ status: 0, out: '', messages: 'joined.csv holds 40 variants of 16 parts.\n' })
  const whole = readFileSync(join(folder, 'whole.csv'), 'utf8')
  expect(readFileSync(join(folder, 'joined.csv'), 'utf8')).toBe(whole)
  const missing = await ranIn(folder, 'variants', '--join', ...names.slice(1), '--out', 'none.csv')
  expect(missing.status).toBe(2)
  expect(missing.messages).toMatch(/These are 15 of 16 parts|Variant 1 is in none/)
  expect(existsSync(join(folder, 'none.csv'))).toBe(false)
  const twice = await ranIn(folder, 'variants', '--join', names[0]!, names[0]!)
  expect(twice.messages).toContain('Variant 1 is in two parts')
  const said = async (...words: readonly string[]) => (await ranIn(folder, 'variants', '--join', ...words)).messages
  expect(await said('whole.csv', '--out', 'one.csv')).toBe('one.csv holds 40 variants of 1 part.\n')
  expect(await said('whole.csv', '--out', 'one.ndjson')).toContain('whole.csv and one.ndjson are not of one kind')
  expect(await said('whole.csv', '--out', 'one.xlsx')).toContain('one.xlsx is a spreadsheet; parts')
  expect(await said('whole.csv', '--rank', 'most a')).toContain('it cannot do with --rank')
})

test('words that are wrong are refused with a sentence', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const said = async (...words: readonly string[]): Promise<string> => {
    const { status, messages } = await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', ...words)
    expect(status).toBe(2)
    return messages
  }
  expect(await said('--share', '4/3')).toContain('write 3/16 for every 16th variant from the 3rd on')
  expect(await said('--out', 'a.txt')).toContain('.csv, .ndjson, .parquet or .xlsx')
  expect(await said('--only', 'good')).toContain('none of solved, conflict, unsure and faulty')
  expect(await said('--rank', 'lode')).toContain('There are: fill, load')
  expect(await said('--rank', 'outcome')).toContain('There are: fill, load')
  expect(await said('--workers', '0')).toContain('is not a number of workers')
  expect(await said('--resume')).toContain('name it with --out')
})

test('what decides is no name that every variant has for itself, nor a number that only chance tells', async () => {
  const rows = Array.from(
    { length: 24 },
    (_, k) => `tank ${k},${((k * 7) % 24) / 100},${[0.2, 0.4, 1, 2][Math.floor(k / 6)]}`,
  )
  const folder = folderWith({
    'tank.loft': `${TANK.slice(0, TANK.indexOf('variants'))}fact colour = 1\nvariants from "tanks.csv"\n`,
    'tanks.csv': `label,colour,a [kg]\n${rows.join('\n')}\n`,
  })
  const { out } = await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--out', 'a.csv')
  expect(out.replace(/\n/g, ' ')).toContain(
    'What decides most is a: 0 % of the variants are solved at 0.2 kg, 0 % at 0.4 kg, 100 % at 1 kg and 100 % at 2 kg.',
  )
})

test('a rank lists the best solved variants', async () => {
  const folder = folderWith({ 'tank.loft': TANK })
  const { messages } = await ranIn(folder, 'variants', 'tank.loft', '--workers', '1', '--rank', 'most a')
  expect(messages).toContain('Solved, most a first')
  expect(messages).toMatch(/1 {2,}4 kg +variant 40: a 4 kg; set fill 13 %/)
})

test('what escapes is told as infinite, without a unit', async () => {
  const hop = `fact thrust = 200 N
lever propellant mass from 20 kg to 30 kg in steps of 1 kg
flight hop from Moon
  dry mass = 10 kg
  propellant mass = propellant mass
  vacuum thrust = thrust
  specific impulse = 300 s
aim most apoapsis
variants
  each thrust over 200 N, 300 N
`
  const folder = folderWith({ 'hop.loft': hop })
  const { out } = await ranIn(folder, 'variants', 'hop.loft', '--workers', '1', '--out', 'hop.csv')
  expect(out).toMatch(/best +infinite +variant 1: thrust 200 N; set propellant mass 25 kg/)
  expect(readFileSync(join(folder, 'hop.csv'), 'utf8')).toContain(',infinity,')
})
