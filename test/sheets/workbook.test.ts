import { readFileSync } from 'node:fs'
import { strFromU8, unzipSync } from 'fflate'
import { create, all as everything } from 'mathjs'
import { expect, test } from 'vitest'
import writeBook, { type Sheet } from 'write-excel-file/node'
import { fromSI } from '../../grammar/units/unit.ts'
import { openSheet } from '../../sheets/index.ts'
import { unitNamed } from '../../sheets/report/target-words.ts'
import { answerBook } from '../../sheets/workbook/answer-book.ts'
import { writerSheets } from '../../sheets/workbook/cells.ts'
import { rowsBook } from '../../sheets/workbook/rows-book.ts'

const math = create(everything!)

/** The value of a formula by mathjs, which knows neither spreadsheets nor this language, at the numbers in the cells. */
function evaluated(formula: string, cells: ReadonlyMap<string, number>): number {
  const scope: Record<string, unknown> = {
    IF: (test: boolean, yes: number, no: number) => (test ? yes : no),
    PI: () => Math.PI,
    SQRT: Math.sqrt,
    EXP: Math.exp,
    LN: Math.log,
    LOG10: Math.log10,
    SIN: Math.sin,
    COS: Math.cos,
    TAN: Math.tan,
    ASIN: Math.asin,
    ACOS: Math.acos,
    ATAN: Math.atan,
    MIN: Math.min,
    MAX: Math.max,
    ABS: Math.abs,
    AND: (a: boolean, b: boolean) => a && b,
    OR: (a: boolean, b: boolean) => a || b,
    NOT: (a: boolean) => !a,
  }
  const plain = formula
    .replace(/^=/, '')
    .replace(/\$([A-Z]+)\$(\d+)/g, (_, column: string, row: string) => {
      scope[`${column}${row}`] = cells.get(`${column}${row}`)
      return `${column}${row}`
    })
    .replace(/(?<![<>=])=(?!=)/g, '==')
  return math.evaluate(plain, scope) as number
}

test('figures that are algebra are live formulas with the value that the sheet has', () => {
  const own = [
    'fact a = 3 km',
    'fact t = 20 degC',
    'fact share = 40 %',
    'lever x from 1 m to 9 m in steps of 1 m',
    'figure way = a + 2 * x - -x^2 / 1 m',
    'figure shown = sqrt(way * 1 m) * share',
    'show shown in ft',
    'figure warmer = t + 10 K',
    'show warmer in degF',
    'figure some = if x > 4 m and not share > 50 % or x = 1 m then max(x, 2 m, 3 ft) else abs(0 m - x)',
    'figure angle = atan(share) + pi * 1 rad',
    'figure power = 2^3^2 * -share',
    'must way at least 3 km',
    'aim least x',
  ].join('\n')
  const examples = ['heron', 'payload', 'crewed-hop', 'two-stages'].map(name =>
    readFileSync(`sheets/examples/${name}.loft`, 'utf8'),
  )
  let formulas = 0
  for (const text of [own, ...examples]) {
    const answer = openSheet(text).solve({ watch: flights => flights < 60 })
    const [{ rows }] = answerBook(answer, text) as [ReturnType<typeof answerBook>[0]]
    const cells = new Map<string, number>()
    // Formulas stand under what they are made of or above it: as often as there are rows is surely enough.
    for (let round = 0; round < 6; round++)
      rows.forEach((row, k) => {
        const value = row[2]
        if (value?.kind === 'number') cells.set(`C${k + 1}`, value.value)
        if (value?.kind === 'formula') cells.set(`C${k + 1}`, evaluated(value.value, cells))
      })
    rows.slice(1).forEach((row, k) => {
      const [, name, value, unit] = row
      if (value?.kind !== 'formula' || name?.kind !== 'words') return
      const { si } = answer.quantities[name.value]!
      const wanted = fromSI(si as number, unitNamed(unit?.kind === 'words' ? unit.value : ''))
      expect(cells.get(`C${k + 2}`), `${name.value}: ${value.value}`).toBeCloseTo(wanted, 6)
      formulas++
    })
  }
  expect(formulas).toBeGreaterThan(10)
})

test('the file holds the sheets with a heading that stays, real numbers, formulas, and words that are never formulas', async () => {
  const text =
    'fact a = 2 kg # =HYPERLINK("x")\nfigure b = a * 3\nfigure c = if a < 1 kg then 1 else 2\nmust b at least 5 kg'
  const book = answerBook(openSheet(text).solve(), text)
  const files = unzipSync(await writeBook(writerSheets(book) as unknown as Sheet<never>[]).toBuffer())
  const read = (name: string): string => strFromU8(files[name]!)
  expect(read('xl/workbook.xml').match(/name="(quantities|targets|about)"/g)).toHaveLength(3)
  const first = read('xl/worksheets/sheet1.xml')
  expect(first).toContain('state="frozen"')
  expect(first).toContain('<c r="C2"><v>2</v></c>')
  expect(first).toContain('<f>($C$2*3)</f>')
  expect(first.match(/<f>/g)).toHaveLength(2)
  expect(first).toContain('<f>IF(($C$2&lt;1),1,2)</f>')
  expect(read('xl/sharedStrings.xml')).toContain('=HYPERLINK(&quot;x&quot;)'.replaceAll('&quot;', '"'))
})

test('rows of variants keep their numbers and headers', () => {
  const [sheet] = rowsBook(
    [{ header: 'dry mass [kg]' }, { header: 'outcome' }],
    [
      [160, 'solved'],
      [null, 'infinity'],
    ],
  )
  expect(sheet!.rows.map(row => row.map(cell => cell?.value ?? null))).toEqual([
    ['dry mass [kg]', 'outcome'],
    [160, 'solved'],
    [null, 'infinity'],
  ])
})
