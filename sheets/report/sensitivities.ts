import { formatNumber, formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, isReading, type Unit } from '../../grammar/units/unit.ts'
import { padded, widthOf } from '../../grammar/width.ts'
import type { Answer, QuantityAnswer } from '../answer.ts'
import { type Line, piece, wrap } from './marked.ts'
import { asNumber } from './number.ts'
import { targetWords, unitNamed } from './target-words.ts'

/** How far each target moves with a little more of one lever or fact. */
export interface SensitivityRow {
  readonly name: string
  readonly role: 'lever' | 'fact'
  /** The little more: a round amount of about a hundredth, or a fact's own error. [SI], and in words: "2 kg". */
  readonly amount: number
  readonly words: string
  /** By target, in its unit with its sign: "−1.9"; a dash where it does not hang on it. */
  readonly cells: readonly string[]
}

/** Sensitivities as a table: levers and facts down, targets across. */
export interface SensitivityTable {
  /** What each target limits, and the unit its column is in. */
  readonly targets: readonly { readonly subject: string; readonly unit: string }[]
  readonly rows: readonly SensitivityRow[]
}

/** The table of an answer: levers first, then facts, each in the order of the sheet; those that move no target are left out. Linear at the settings. */
export function sensitivityTable({ targets, quantities }: Answer): SensitivityTable {
  const columns = targets.map(target => {
    const { subject } = targetWords(target, quantities)
    const own = unitNamed(target.unit ?? (Object.hasOwn(quantities, subject) ? quantities[subject]!.unit : ''))
    // A difference of readings is told in kelvins.
    return { target, subject, unit: isReading(own) ? unitNamed('K') : own }
  })
  const rows = (['lever', 'fact'] as const).flatMap(role =>
    Object.entries(quantities).flatMap(([name, quantity]): SensitivityRow[] => {
      if (quantity.role !== role) return []
      const slopes = columns.map(({ target }) => slopeOf(target.sensitivities, name))
      if (!slopes.some(slope => slope !== 0 && Number.isFinite(slope))) return []
      const { amount, words } = littleMore(quantity)
      const cells = columns.map(({ target, unit }, k) => changeText(slopes[k]! * amount, asNumber(target.si), unit))
      return [{ name, role, amount, words, cells }]
    }),
  )
  return { targets: columns.map(({ subject, unit }) => ({ subject, unit: unit.text })), rows }
}

function slopeOf(sensitivities: Answer['targets'][number]['sensitivities'], name: string): number {
  return Object.hasOwn(sensitivities, name) ? asNumber(sensitivities[name]!) : 0
}

/** A fact's error, or 1, 2 or 5 times a power of ten of its unit, at most a fiftieth of it. */
function littleMore({ si, unit, error }: QuantityAnswer): { readonly amount: number; readonly words: string } {
  const own = unitNamed(unit)
  const plain = isReading(own) ? unitNamed('K') : own
  if (error !== undefined && error > 0) return { amount: error, words: formatQuantity(error, plain, 3) }
  const value = Math.abs(fromSI(asNumber(si), plain))
  const number = value > 0 && Number.isFinite(value) ? roundBelow(value / 50) : 1
  const one = asNumber(si) === 0 ? 1 : Math.abs(asNumber(si)) / value
  return { amount: number * one, words: `${formatNumber(number, 3)}${plain.text === '' ? '' : ` ${plain.text}`}` }
}

function roundBelow(size: number): number {
  const power = 10 ** Math.floor(Math.log10(size))
  const first = size / power
  return (first >= 5 ? 5 : first >= 2 ? 2 : 1) * power
}

/** A change below this share of the value is the noise of the flight's own accuracy. */
const NOISE = 1e-5

function changeText(change: number, value: number, unit: Unit): string {
  if (!Number.isFinite(change)) return 'no value'
  const number = fromSI(change, unit)
  if (number === 0 || Math.abs(change) < NOISE * Math.abs(value)) return '–'
  return `${number > 0 ? '+' : '−'}${formatNumber(Math.abs(number), 2)}`
}

/** Targets that stand beside one another. */
const ACROSS = 4
const NAME = 20
const AMOUNT = 10

/** The table as lines, four targets at a time. */
export function sensitivityLines(answer: Answer, width: number): readonly Line[] {
  const { targets, rows } = sensitivityTable(answer)
  if (rows.length === 0) return [[piece('No target hangs on a lever or a fact.')]]
  const across = Math.max(1, Math.min(ACROSS, Math.floor((width - NAME - AMOUNT) / 12)))
  const column = Math.floor((width - NAME - AMOUNT) / Math.min(across, targets.length))
  const blocks = Array.from({ length: Math.ceil(targets.length / across) }, (_, k) => k * across)
  const head = 'How far each target moves for so much more of one thing, the others kept:'
  return [
    ...wrap(head, width).map(line => [piece(line)]),
    ...blocks.flatMap(first => {
      const shown = targets.slice(first, first + across)
      return [
        [],
        ...headLines(
          shown.map(({ subject, unit }) => [...wrap(subject, column - 2), unit]),
          column,
        ),
        ...rows.flatMap(row => rowLines(row, first, first + across, column)),
      ]
    }),
  ]
}

/** Heads of several lines each, standing on their last. */
function headLines(heads: readonly (readonly string[])[], column: number): readonly Line[] {
  const height = Math.max(...heads.map(each => each.length))
  return Array.from({ length: height }, (_, k) => [
    piece(' '.repeat(NAME + AMOUNT)),
    ...heads.map(each => piece(atRight(each[k - height + each.length] ?? '', column), 'pencil')),
  ])
}

function rowLines(row: SensitivityRow, from: number, to: number, column: number): readonly Line[] {
  const cells = row.cells.slice(from, to).map(cell => piece(atRight(cell, column)))
  const amount = piece(padded(row.words, AMOUNT), 'pencil')
  if (widthOf(row.name) < NAME) return [[piece(padded(row.name, NAME)), amount, ...cells]]
  return [[piece(row.name)], [piece(' '.repeat(NAME)), amount, ...cells]]
}

/** Words at the right end of a column, cut where they are wider. */
function atRight(words: string, column: number): string {
  let cut = words
  while (widthOf(cut) >= column) cut = `${[...cut].slice(0, -2).join('')}…`
  return ' '.repeat(column - widthOf(cut)) + cut
}
