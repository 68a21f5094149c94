import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import { openSheet } from '../../sheets/index.ts'
import { folderWith, type Ran, ranWith } from './stand-in.ts'

const sheet =
  'lever p from 0 to 1 in steps of 0.1\nlever q from 0 to 1 in steps of 0.1\nmust p + q at most 1\naim most p\n'
const folder = folderWith({ 'line.loft': sheet, 'one.loft': 'lever p from 0 to 1\nmust p at least 0.5\n' })

function loftsheet(...words: string[]): Promise<Ran> {
  return ranWith(openSheet, folder, ['map', ...words])
}

test('map prints a picture, writes csv and json, and --json prints the document of the contract', async () => {
  const plain = await loftsheet(join(folder, 'line.loft'))
  expect([plain.status, plain.messages]).toEqual([0, ''])
  expect(plain.out).toContain('◆ the solution: p 1, q 0')
  const document = JSON.parse((await loftsheet(join(folder, 'line.loft'), '--json')).out)
  expect(document).toMatchObject({ across: 'p', up: 'q', solution: [1, 0] })
  expect(document.lines[0].target).toBe('p + q at most 1')
  expect(document.settings.length).toBe(66)
  expect(document.region[0].length).toBe(4)
  const out = join(folder, 'line.csv')
  expect((await loftsheet(join(folder, 'line.loft'), '--out', out, '--across', 'q', '--up', 'p')).status).toBe(0)
  const rows: string[][] = parse(readFileSync(out, 'utf8'))
  expect(rows[0]!.slice(3)).toEqual(['q', 'p'])
  expect(rows.find(row => row[0] === 'solution')!.slice(3)).toEqual(['0', '1'])
})

test('what cannot be mapped is said, with status 2', async () => {
  const one = await loftsheet(join(folder, 'one.loft'))
  expect([one.status, one.out]).toEqual([2, ''])
  expect(one.messages).toContain('only one is free')
  expect((await loftsheet(join(folder, 'line.loft'), '--out', 'x.bmp')).messages).toContain(
    'is not a kind of file that map writes',
  )
  expect((await loftsheet(join(folder, 'line.loft'), '--cells', '3')).status).toBe(2)
  for (const [words, told] of [
    [['--points', '5'], '--points is of a front: add --front.'],
    [['--front', '--cells', '16'], '--front takes no --cells; leave it out.'],
    [['--theme', 'slate'], '--theme is the ground of a picture, and none is asked for: name its file, .svg or .png.'],
    [['--front', '--up', 'p'], '--front takes no --up; leave it out.'],
  ] as const)
    expect(await loftsheet(join(folder, 'line.loft'), ...words)).toEqual({
      status: 2,
      out: '',
      messages: `loftsheet: ${told}\n`,
    })
  expect((await loftsheet(join(folder, 'line.loft'), '--up', 'r')).messages).toContain(
    '"r" is no lever that is free here',
  )
})
