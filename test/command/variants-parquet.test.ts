import { existsSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects } from 'hyparquet'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { folderWith, ranWith } from './stand-in.ts'
import { BARE_TANK } from './tank.ts'

/** What the format itself says of a file (Apache Parquet): its columns, and its rows as a reader of the format gives them. */
async function read(folder: string, name: string) {
  const file = await asyncBufferFromFile(join(folder, name))
  const { schema, num_rows, row_groups } = await parquetMetadataAsync(file)
  const columns = schema.slice(1).map(({ name, type, converted_type }) => [name, converted_type ?? type])
  return { columns, rows: await parquetReadObjects({ file }), count: Number(num_rows), groups: row_groups.length }
}

test('a Parquet file holds the rows of the variants, each column of one kind', async () => {
  const folder = folderWith({
    'tank.loft': `${BARE_TANK}variants\n  each a from 0.1 kg to 4 kg in steps of 0.1 kg\n  each label over "007", "b"\n`,
  })
  const { status, out, messages } = await ranWith(openSheet, folder, [
    ...['variants', 'tank.loft', '--workers', '1', '--out', 'a.parquet'],
  ])
  expect(status).toBe(0)
  expect(out).toContain('80 variants of A tank')
  expect(messages).toContain('a.parquet holds the variants as a Parquet file.')
  const { columns, rows, count } = await read(folder, 'a.parquet')
  expect(columns).toEqual([
    ['variant', 'INT64'],
    ['a [kg]', 'DOUBLE'],
    ['label', 'UTF8'],
    ['outcome', 'UTF8'],
    ['fill [%]', 'DOUBLE'],
    ['load [kg]', 'DOUBLE'],
    ['margin of load at least', 'DOUBLE'],
    ['margin of fill at most', 'DOUBLE'],
    ['problem', 'UTF8'],
  ])
  expect(count).toBe(80)
  const told = [
    ...openSheet(
      `${BARE_TANK}variants\n  each a from 0.1 kg to 4 kg in steps of 0.1 kg\n  each label over "007", "b"\n`,
    ).variants(),
  ]
  expect(rows).toEqual(
    told.map(row => ({ ...row, variant: BigInt(row.variant as number), problem: row.problem || null })),
  )
  // Nothing is left beside it.
  expect(readdirSync(folder).sort()).toEqual(['a.parquet', 'tank.loft'])
})

test('where a row has words for a number its column is of words, and an escape is infinite', async () => {
  const folder = folderWith({
    'tank.loft': `${BARE_TANK}variants from "a.csv"\n`,
    'a.csv': 'a [kg]\n2\nmuch\n3\n',
    'moon.loft': `sheet "Up"
fact dry mass = 10 kg
fact propellant mass = 200 kg
fact vacuum thrust = 9 kN
fact specific impulse = 300 s
lever throttle cap from 50 % to 100 % in steps of 25 %
flight hop from Moon
must apoapsis at least 100 km
aim most apoapsis
variants
  each dry mass over 10 kg, 190 kg
`,
  })
  const words = (sheet: string) => ['variants', sheet, '--workers', '1', '--out', 'a.parquet']
  await ranWith(openSheet, folder, words('tank.loft'))
  const tank = await read(folder, 'a.parquet')
  expect(tank.columns[1]).toEqual(['a [kg]', 'UTF8'])
  expect(tank.rows.map(row => [row['a [kg]'], row.outcome])).toEqual([
    ['2', 'solved'],
    ['much', 'faulty'],
    ['3', 'solved'],
  ])
  await ranWith(openSheet, folder, words('moon.loft'))
  const moon = await read(folder, 'a.parquet')
  expect(moon.rows.map(row => row['apoapsis [km]'])).toEqual([Number.POSITIVE_INFINITY, expect.any(Number)])
})

test('no rows make a file without any, and what stands in its way is told before anything is solved', async () => {
  const folder = folderWith({ 'tank.loft': `${BARE_TANK}variants\n  each a over 1 kg, 2 kg\n` })
  const said = async (...more: readonly string[]) =>
    (await ranWith(openSheet, folder, ['variants', 'tank.loft', '--workers', '1', ...more])).messages
  await said('--only', 'unsure', '--out', 'a.parquet')
  expect(await read(folder, 'a.parquet')).toMatchObject({ rows: [], count: 0, groups: 0 })
  expect(await said('--out', 'nowhere/a.parquet')).toContain('there is no such folder')
  expect(await said('--out', 'b.parquet', '--resume')).toContain('a Parquet file is written at once')
  expect(existsSync(join(folder, 'b.parquet'))).toBe(false)
  const joined = await ranWith(openSheet, folder, ['variants', '--join', 'a.parquet', '--out', 'b.csv'])
  expect(joined.messages).toContain('a.parquet is a Parquet file; parts and what they make are .csv or .ndjson.')
})
