import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { widthOf } from '../../grammar/width.ts'
import { openSheet } from '../../sheets/index.ts'
import { print } from '../../sheets/report/marked.ts'
import { sensitivityLines, sensitivityTable } from '../../sheets/report/sensitivities.ts'

const example = (name: string): string => readFileSync(`sheets/examples/${name}.loft`, 'utf8')

test('the table of the Heron is as it was', async () => {
  const lines = sensitivityLines(openSheet(example('heron')).solve(), 80)
  await expect(print(lines)).toMatchFileSnapshot('golden/heron-sensitivities.txt')
})

test('each entry is what flying the sheet again with a little more and a little less gives', () => {
  for (const name of ['heron', 'payload']) {
    const sheet = openSheet(example(name))
    const answer = sheet.solve()
    const { rows } = sensitivityTable(answer)
    expect(rows.length).toBeGreaterThan(4)
    const values = Object.fromEntries(
      Object.entries(answer.quantities).flatMap(([each, { role, si }]) =>
        role === 'figure' ? [] : [[each, si as number] as const],
      ),
    )
    for (const row of rows) {
      const at = (share: number) => {
        const set = { ...values, [row.name]: values[row.name]! + share * row.amount }
        return sheet.solve({ set }).targets.map(target => target.si as number)
      }
      const [more, less] = [at(0.01), at(-0.01)]
      answer.targets.forEach((target, k) => {
        const change = ((target.sensitivities[row.name] as number | undefined) ?? 0) * row.amount
        const flown = (more[k]! - less[k]!) / 0.02
        const size = Math.abs(target.si as number)
        expect(Math.abs(change - flown), `${name}: ${row.name} on ${target.text}`).toBeLessThan(
          0.01 * Math.abs(change) + 2e-5 * size,
        )
      })
    }
  }
})

test('amounts are round or a fact’s own error, signs are told, and what does not hang on a thing is a dash', () => {
  const sheet = openSheet(
    [
      'fact a = 8 kg ± 0.3 kg',
      'fact b = 0 m',
      'lever x from 1 m to 9 m in steps of 1 m',
      'figure mass = a * 2 + 0 kg',
      'figure way = x * 3 + b',
      'must mass at least 1 kg',
      'must way at least 12 m',
      'aim least x',
    ].join('\n'),
  )
  const { targets, rows } = sensitivityTable(sheet.solve())
  expect(targets).toEqual([
    { subject: 'mass', unit: 'kg' },
    { subject: 'way', unit: 'm' },
  ])
  expect(rows.map(({ name, role, words, cells }) => [name, role, words, cells])).toEqual([
    ['x', 'lever', '0.05 m', ['–', '+0.15']],
    ['a', 'fact', '0.3 kg', ['+0.6', '–']],
    ['b', 'fact', '1 m', ['–', '+1']],
  ])
})

test('the table stays inside the page, however many targets and however long their names', () => {
  const targets = Array.from(
    { length: 7 },
    (_, k) => `must a rather long name of figure number ${'abcdefg'[k]} at least ${k} m`,
  )
  const figures = Array.from(
    { length: 7 },
    (_, k) => `figure a rather long name of figure number ${'abcdefg'[k]} = x * ${k + 1}`,
  )
  const plain = (text: string): string => text.replaceAll(' of ', ' for ')
  const sheet = openSheet(['lever x from 1 m to 9 m', ...figures, ...targets].map(plain).join('\n'))
  expect(sheet.problems).toEqual([])
  for (const width of [40, 60, 80]) {
    const lines = print(sensitivityLines(sheet.solve(), width)).split('\n')
    expect(lines.filter(line => widthOf(line) > width)).toEqual([])
  }
})
