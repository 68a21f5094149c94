import { parse } from '../../grammar/parse.ts'
import { fromSI } from '../../grammar/units/unit.ts'
import type { Answer, JsonNumber } from '../answer.ts'
import { CAUTIONS } from '../report/cautions.ts'
import { asNumber } from '../report/number.ts'
import { targetWords, unitNamed } from '../report/target-words.ts'
import { verdictOf } from '../report/verdict.ts'
import { type CellPlace, formulaOf } from './formula.ts'
import { heading, number, type WorkbookCell, type WorkbookSheet, words } from './workbook.ts'

/** The column of values in the sheet of quantities. */
const VALUES = 'C'

/**
 * A solved sheet as a spreadsheet: its quantities with real numbers and their units (figures that are plain algebra as live formulas
 * over the cells of what they are made of), its targets, and what was found in words. `text` is the sheet's own.
 */
export function answerBook(answer: Answer, text: string): readonly WorkbookSheet[] {
  const { verdict, more } = verdictOf(answer)
  return [
    quantitySheet(answer, text),
    targetSheet(answer),
    {
      name: 'about',
      rows: [
        heading('about'),
        [words(answer.sheet)],
        [words(`${verdict} ${more}`.trim())],
        [words('Numbers of a flight were flown for these settings: they do not follow when a cell is changed.')],
        [words(CAUTIONS)],
      ],
      widths: [120],
    },
  ]
}

function quantitySheet({ quantities }: Answer, text: string): WorkbookSheet {
  const { statements } = parse(text)
  const figures = new Map(
    statements.flatMap(each => (each.kind === 'figure' ? [[each.name.text, each.value] as const] : [])),
  )
  const names = Object.keys(quantities)
  const place = (name: string): CellPlace | null => {
    const row = names.indexOf(name)
    if (row === -1) return null
    // What has no finite number has no cell to reckon with.
    const { si, unit } = quantities[name]!
    return typeof si === 'number' ? { cell: `$${VALUES}$${row + 2}`, unit: unitNamed(unit) } : null
  }
  const rows = names.map((name): readonly WorkbookCell[] => {
    const { role, si, unit, description, reason } = quantities[name]!
    const tree = role === 'figure' ? figures.get(name) : undefined
    const formula = tree && typeof si === 'number' ? formulaOf(tree, unitNamed(unit), place) : null
    const value: WorkbookCell = formula === null ? inUnit(si, unit) : { kind: 'formula', value: formula }
    return [words(role), words(name), value, words(unit), words(description ?? reason ?? '')]
  })
  return {
    name: 'quantities',
    rows: [heading('role', 'name', 'value', 'unit', 'description'), ...rows],
    widths: [8, 34, 16, 10, 60],
  }
}

function inUnit(si: JsonNumber, unit: string): WorkbookCell {
  return typeof si === 'number' ? number(rounded(fromSI(si, unitNamed(unit)))) : number(si)
}

/** To twelve digits: what a change of units adds behind them is noise. */
function rounded(value: number): number {
  return Number(value.toPrecision(12))
}

function targetSheet({ targets, quantities }: Answer): WorkbookSheet {
  const rows = targets.map((target): readonly WorkbookCell[] => {
    const { subject } = targetWords(target, quantities)
    const unit = target.unit ?? (Object.hasOwn(quantities, subject) ? quantities[subject]!.unit : '')
    return [
      words(target.level),
      words(target.text),
      inUnit(target.si, unit),
      words(unit),
      ...target.limit.map(limit => (Number.isFinite(asNumber(limit)) ? inUnit(limit, unit) : null)),
      number(target.margin),
      words(target.met ? 'met' : 'short'),
      words(target.price?.text ?? ''),
    ]
  })
  return {
    name: 'targets',
    rows: [heading('level', 'target', 'value', 'unit', 'at least', 'at most', 'margin', 'outcome', 'price'), ...rows],
    widths: [8, 40, 14, 8, 12, 12, 12, 10, 60],
  }
}
