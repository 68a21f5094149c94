import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import process from 'node:process'
import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import { folderWith } from './stand-in.ts'

const sheet =
  'lever p from 0 to 1 in steps of 0.1\nlever q from 0 to 1 in steps of 0.1\nmust p + q at most 1\naim most p\n'
const folder = folderWith({ 'line.loft': sheet, 'one.loft': 'lever p from 0 to 1\nmust p at least 0.5\n' })

function loftsheet(...words: string[]) {
  const command = join(process.cwd(), 'sheets/command/main.ts')
  return spawnSync(process.execPath, ['--import', 'tsx', command, 'map', ...words], {
    cwd: process.cwd(),
    encoding: 'utf8',
  })
}

test('map prints a picture, writes csv and json, and --json prints the document of the contract', () => {
  const plain = loftsheet(join(folder, 'line.loft'))
  expect([plain.status, plain.stderr]).toEqual([0, ''])
  expect(plain.stdout).toContain('◆ the solution: p 1, q 0')
  const document = JSON.parse(loftsheet(join(folder, 'line.loft'), '--json').stdout)
  expect(document).toMatchObject({ across: 'p', up: 'q', solution: [1, 0] })
  expect(document.lines[0].target).toBe('p + q at most 1')
  expect(document.settings.length).toBe(66)
  expect(document.region[0].length).toBe(4)
  const out = join(folder, 'line.csv')
  expect(loftsheet(join(folder, 'line.loft'), '--out', out, '--across', 'q', '--up', 'p').status).toBe(0)
  const rows: string[][] = parse(readFileSync(out, 'utf8'))
  expect(rows[0]!.slice(3)).toEqual(['q', 'p'])
  expect(rows.find(row => row[0] === 'solution')!.slice(3)).toEqual(['0', '1'])
})

test('what cannot be mapped is said, with status 2', () => {
  const one = loftsheet(join(folder, 'one.loft'))
  expect([one.status, one.stdout]).toEqual([2, ''])
  expect(one.stderr).toContain('only one is free')
  expect(loftsheet(join(folder, 'line.loft'), '--out', 'x.bmp').stderr).toContain(
    'is not a kind of file that map writes',
  )
  expect(loftsheet(join(folder, 'line.loft'), '--cells', '3').status).toBe(2)
  expect(loftsheet(join(folder, 'line.loft'), '--up', 'r').stderr).toContain('"r" is no lever that is free here')
})
