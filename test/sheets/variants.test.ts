import { readFileSync } from 'node:fs'
import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Answer } from '../../sheets/answer.ts'
import { openSheet } from '../../sheets/index.ts'
import type { VariantCell, VariantColumn, VariantRow } from '../../sheets/variants/answer.ts'
import { rounded } from '../../sheets/variants/choices.ts'
import { cellFrom, rowsText } from '../../sheets/variants/written.ts'

const heron = readFileSync('sheets/examples/heron.loft', 'utf8')

function rowsOf(text: string, files: Readonly<Record<string, string>> = {}): readonly VariantRow[] {
  const variants = openSheet(text, { load: path => files[path]! }).variants()
  expect(variants.problems).toEqual([])
  return [...variants]
}

test('the lines of a block are crossed, the last running fastest, with values as written', () => {
  const rows = rowsOf(`
fact a = 1 kg
fact b = 10 %
figure c = a * b
variants
  each a over 0.1 kg, 200 g, 2 * a
  each b from 10 % to 30 % in steps of 10 %
`)
  expect(rows.map(row => [row.variant, row['a [kg]'], row['b [%]']])).toEqual([
    [1, 0.1, 10],
    [2, 0.1, 20],
    [3, 0.1, 30],
    [4, 0.2, 10],
    [5, 0.2, 20],
    [6, 0.2, 30],
    [7, 2, 10],
    [8, 2, 20],
    [9, 2, 30],
  ])
})

test('columns are named with units: what varies, outcome, settings, values, margins, aims, problem', () => {
  const { columns } = openSheet(`${heron}\nvariants\n  each dry mass over 150 kg, 165 kg\n`).variants()
  expect(columns.map(column => column.header)).toEqual([
    'variant',
    'dry mass [kg]',
    'outcome',
    'fuel fraction [%]',
    'throttle cap [%]',
    'liftoff ratio',
    'peak g [g0]',
    'max q [kPa]',
    'apoapsis [km]',
    'margin of liftoff ratio at least',
    'margin of peak g at most',
    'margin of max q at most',
    'margin of apoapsis within',
    'propellant mass [kg]',
    'problem',
  ])
})

test('variants give the answers of the sheet solved singly with the same numbers', () => {
  const text = `${heron}
variants
  each dry mass from 150 kg to 186 kg in steps of 12 kg
  each drag coefficient over 0.35, 0.42, 0.55
  each vacuum thrust over 15.5 kN, 17.5 kN, 19 kN
`
  const sheet = openSheet(text)
  const rows = [...sheet.variants()]
  expect(rows).toHaveLength(36)
  for (const row of rows) {
    const alone = sheet.solve({
      set: {
        'dry mass': row['dry mass [kg]'] as number,
        'drag coefficient': row['drag coefficient'] as number,
        'vacuum thrust': `${row['vacuum thrust [kN]']} kN`,
      },
    })
    expect(row.outcome).toBe(alone.outcome)
    sameNumbers(row, alone)
  }
})

function sameNumbers(row: VariantRow, alone: Answer): void {
  expect(row['fuel fraction [%]']).toBe(alone.quantities['fuel fraction']!.value)
  expect(row['throttle cap [%]']).toBe(alone.quantities['throttle cap']!.value)
  expect(row['apoapsis [km]']).toBeCloseTo((alone.quantities.apoapsis!.si as number) / 1000, 6)
  expect(row['margin of peak g at most']).toBeCloseTo(alone.targets[1]!.margin as number, 9)
}

test('three hundred variants give the answers of the sheet solved singly', () => {
  const sheet = openSheet(`fact wall mass = 20 kg
fact ullage = 3 %
lever fill from 50 % to 100 % in steps of 5 %
figure load = fill * (1 - ullage) * 40 kg
figure share = load / (load + wall mass)
must load at least 14 kg
must share at most 60 %
should share within 50 % to 55 %
aim least load
variants
  each wall mass from 10 kg to 29 kg in steps of 1 kg
  each ullage from 1 % to 43 % in steps of 3 %
`)
  const rows = [...sheet.variants()]
  expect(rows).toHaveLength(300)
  const outcomes = rows.map(row => {
    const alone = sheet.solve({ set: { 'wall mass': `${row['wall mass [kg]']} kg`, ullage: `${row['ullage [%]']} %` } })
    expect(row.outcome).toBe(alone.outcome)
    expect(row['fill [%]']).toBe(alone.quantities.fill!.value)
    const margins = ['load at least', 'share at most', 'share within'].map(name => row[`margin of ${name}`] as number)
    alone.targets.forEach(({ margin }, place) => {
      expect(margins[place]).toBeCloseTo(margin as number, 8)
    })
    return alone.outcome
  })
  expect(new Set(outcomes)).toEqual(new Set(['solved', 'conflict']))
})

const FILE = `drag coefficient, peak g at most [g0], apoapsis within [km], throttle cap [%], label, body of hop
# a comment
0.4, 7, 90 to 100, 60, first, Earth
0.4, 6, 100 to 110, 200, pinned too high, Earth
0.4, 6, 110 to 100, 60, band upside down, Earth
x, 6, 100 to 110, 60, no number, Earth
0.4, 6
, 6, 100 to 110, 60, empty, Earth
0.4, 500 m/s^2, 100 km to 110 km, 60, own units, Moon
0.4, 6, 100 to 110, 60, no such body, Venus
0.4, 6, 100, 60, one end, Earth
`

test('a file may override facts, pin levers, move limits, pick bodies and carry words', () => {
  const rows = rowsOf(`${heron}\nvariants from "family.csv"\n`, { 'family.csv': FILE })
  expect(rows.map(row => row.outcome)).toEqual([
    'solved',
    'faulty',
    'faulty',
    'faulty',
    'faulty',
    'faulty',
    'solved',
    'faulty',
    'faulty',
  ])
  const [first, , , , , , moon] = rows
  expect(first).toMatchObject({ label: 'first', 'throttle cap [%]': 60, 'body of hop': 'Earth' })
  const alone = openSheet(
    heron.replace('at most  6 g0', 'at most 7 g0').replace('100 km to 110 km', '90 km to 100 km'),
  ).solve({ set: { 'drag coefficient': 0.4, 'throttle cap': 0.6 } })
  expect(alone.outcome).toBe('solved')
  expect(first!['fuel fraction [%]']).toBe(alone.quantities['fuel fraction']!.value)
  expect(first!['margin of apoapsis within']).toBeCloseTo(alone.targets[3]!.margin as number, 9)
  expect(moon!['peak g at most [g0]']).toBeCloseTo(500 / 9.80665, 8)
  const there = openSheet(heron.replace('from Earth', 'from Moon')).solve({
    set: { 'drag coefficient': 0.4, 'throttle cap': 0.6 },
  })
  expect(moon!['max q [kPa]']).toBe(0)
  expect(moon!['liftoff ratio']).toBeCloseTo(there.quantities['liftoff ratio']!.si as number, 8)
})

test('a bad row is a row that says its problem', () => {
  const rows = rowsOf(`${heron}\nvariants from "family.csv"\n`, { 'family.csv': FILE })
  expect(rows.filter(row => row.outcome === 'faulty').map(row => row.problem)).toEqual([
    '"throttle cap" cannot be set to 200 %: its range is 30 % to 100 %. Give a value in its range, or widen the range in the sheet.',
    'This band is upside down: its first end lies above its second. Swap the two ends.',
    '"drag coefficient" cannot be set to "x": Nothing here is called "x". Declare it: a fact with a value, a lever with a range, or a figure with its formula.',
    'This row has 2 cells where the first row has 6.',
    'The cell of "drag coefficient" is empty.',
    'No body is called "Venus". Earth, Moon and Mars are built in; others are described in a body block.',
    '"apoapsis within" needs two ends, such as "100 to 110"; "100" is not that.',
  ])
})

test('a tolerance in % moves with its target', () => {
  const rows = rowsOf(
    `lever x from 0 to 100 in steps of 1
must x equal to 10 ± 10 %
aim least x
variants from "targets.csv"
`,
    { 'targets.csv': 'x equal to\n20\n50\n' },
  )
  expect(rows.map(row => row.x)).toEqual([18, 45])
})

test('a share is every nth variant from the ith on, over all blocks', () => {
  const text = `
fact a = 1 kg
figure c = 2 * a
variants
  each a over 1 kg, 2 kg, 3 kg, 4 kg, 5 kg
variants second
  each a over 6 kg, 7 kg, 8 kg
`
  const sheet = openSheet(text)
  const shares = [1, 2, 3].map(i => [...sheet.variants({ share: [i, 3] })])
  expect(shares.map(rows => rows.map(row => row.variant))).toEqual([
    [1, 4, 7],
    [2, 5, 8],
    [3, 6],
  ])
  const whole = [...sheet.variants()]
  expect(shares.flat().sort((a, b) => (a.variant as number) - (b.variant as number))).toEqual(whole)
  expect(whole.map(row => row.variants)).toEqual(['', '', '', '', '', 'second', 'second', 'second'])
})

test('columns that name nothing, or the same twice, or a wrong unit are problems of the sheet', () => {
  const said = (head: string): readonly string[] =>
    openSheet(`${heron}\nvariants from "a.csv"\n`, { load: () => `${head}\n` })
      .variants()
      .problems.map(each => each.message)
  expect(said('dri mass [kg]')).toEqual([
    'A column of "a.csv" cannot be used. Nothing here that can be varied is called "dri mass".',
  ])
  expect(said('dry mass [kg], dry mass [lb]')).toEqual(['"a.csv" has two columns for "dry mass".'])
  expect(said('dry mass [km]')).toEqual([
    'A column of "a.csv" cannot be used. "dry mass" is a mass (kg); km is a unit for a length (m).',
  ])
  expect(said('dry mass [kg],')).toEqual(['A column of "a.csv" cannot be used. It has no name.'])
  expect(said('dry mass [kg];label')).toEqual([
    'A column of "a.csv" cannot be used. Its cells seem to be parted by semicolons.',
  ])
})

test('a number without a unit, and a file that breaks off, are told in plain words', () => {
  const text = `${heron}\nvariants from "a.csv"\n`
  expect(rowsOf(text, { 'a.csv': 'dry mass\n165\n' })[0]!.problem).toBe(
    '"dry mass" is a mass (kg); 165 has no unit. Write 165 kg, or dry mass [kg] in the first row.',
  )
  const said = (file: string) =>
    openSheet(text, { load: () => file })
      .variants()
      .problems.map(({ message }) => message)
  expect(said('dry mass [kg]\n165\n"170\n')).toEqual([
    'The file "a.csv" cannot be read: a quote is opened and never closed.',
  ])
  // Quotes at a loss in one row are that row's own.
  const quoted = rowsOf(text, {
    'a.csv':
      ' "dry mass" , "drag coefficient" \n "165 kg" , 0.4\n"170"x,0.4\n1"70 kg,0.5\n "17""5" , "0.5"\n"180 kg",0.6\n',
  })
  expect(quoted.map(({ outcome, problem }) => [outcome, problem])).toEqual([
    ['solved', ''],
    ['faulty', expect.stringContaining('"170"x')],
    ['faulty', expect.stringContaining('1"70 kg')],
    ['faulty', expect.stringContaining('17"5')],
    ['solved', ''],
  ])
  // A quote within quotes is written twice (RFC 4180), whether or not a blank stands behind the last of them.
  const labels = rowsOf(text, {
    'a.csv': 'label,dry mass\n"the ""hot"" one, again" ,165 kg\n"the ""hot"" one, again",165 kg\n',
  })
  expect(labels.map(({ label }) => label)).toEqual(['the "hot" one, again', 'the "hot" one, again'])
})

test('quantities that are called as columns of ours have columns of their own', () => {
  const rows = rowsOf(`
fact outcome = 3
fact problem = 2 kg
lever variant from 1 to 5 in steps of 1
must variant at least 2
aim least variant
variants
  each outcome over 3, 4
`)
  expect(rows.map(row => [row.variant, row['outcome [1]'], row.outcome, row['variant [1]']])).toEqual([
    [1, 3, 'solved', 2],
    [2, 4, 'solved', 2],
  ])
})

test('of several targets on one quantity each limit may vary, by its level where that tells them apart', () => {
  const text = (each: string) => `
lever x from 1 to 10 in steps of 1
must x at least 2
should x at least 4
aim least x
variants
  each ${each} over 3, 5
`
  expect(rowsOf(text('must x')).map(row => [row['must x at least'], row.x])).toEqual([
    [3, 4],
    [5, 5],
  ])
  expect(rowsOf(text('should x')).map(row => row.x)).toEqual([3, 5])
})

test('cells are read from a CSV file as they were written', () => {
  const columns: readonly VariantColumn[] = [{ header: 'label', role: 'varied', name: 'label', unit: '' }]
  const back = (cell: VariantCell): VariantCell =>
    cellFrom((parse(rowsText([[cell]], columns, 'csv'))[0] as string[])[0]!)
  for (const word of ['007', '1e3', '1.50', '=1+1', "'=1+1", "''=1", "'", '-x', '+', 'a "b", c', '.5'])
    expect(back(word)).toBe(word)
  fc.assert(
    fc.property(fc.double({ noNaN: true, min: -1e300, max: 1e300 }), value => {
      const cell = rounded(value)
      expect(back(cell)).toBe(cell)
    }),
  )
})

test('a fact that is set for all may not vary, and others hold for all', () => {
  const sheet = openSheet(`${heron}\nvariants\n  each dry mass over 150 kg, 2 * full load\n`)
  expect(sheet.variants({ set: { 'dry mass': 150 } }).problems.map(each => each.message)).toEqual([
    '"dry mass" is set for all variants, but varies among them.',
  ])
  const rows = [...sheet.variants({ set: { 'full load': '90 kg', 'throttle cap': 0.5 } })]
  expect(rows.map(row => row['dry mass [kg]'])).toEqual([150, 180])
  expect(rows.map(row => row['throttle cap [%]'])).toEqual([50, 50])
})

test('a sheet without variants says so, and a wrong sheet gives its problems', () => {
  expect(openSheet(heron).variants().problems[0]!.message).toBe('This sheet has no block of variants.')
  const wrong = openSheet('fact a = \n').variants()
  expect(wrong.problems.length).toBeGreaterThan(0)
  expect([...wrong]).toEqual([])
})
