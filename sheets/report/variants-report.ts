import { padded, widthOf } from '../../grammar/width.ts'
import type { Outcome } from '../answer.ts'
import type { VariantColumn } from '../variants/answer.ts'
import { type Band, bandsOf } from '../variants/bands.ts'
import { decidingColumn } from '../variants/deciding.ts'
import { numberOf, OTHERS, type TallyState, type Told } from '../variants/tally.ts'
import { listed } from './listed.ts'
import { BLANK, type Ink, type Line, piece, TIE, wrap } from './marked.ts'

/** What the closing summary is made from. */
export interface Summary {
  readonly sheet: string
  readonly columns: readonly VariantColumn[]
  readonly tally: TallyState
  readonly rank: { readonly place: number; readonly sense: 'least' | 'most' } | null
}

const OUTCOMES: readonly (readonly [Outcome, Ink])[] = [
  ['solved', 'room'],
  ['conflict', 'short'],
  ['unsure', 'limit'],
  ['faulty', 'short'],
]

const MOST_LINES = 6

/** The closing summary: outcomes, what conflicts are about, best and worst by each aim, what decides. */
export function variantsReport(told: Summary, width: number): readonly Line[] {
  const { tally, columns, sheet } = told
  const total = totalOf(tally)
  const lines: Line[] = [[piece(`${counted(total)} ${total === 1 ? 'variant' : 'variants'} of ${sheet}`, 'strong')]]
  lines.push(...outcomeLines(told, total))
  lines.push(...shortLines(tally, width), ...problemLines(tally, width))
  lines.push(...Object.entries(tally.ends).flatMap(([place, ends]) => endLines(Number(place), ends, columns, width)))
  lines.push(...decidingLines(tally, columns, width), ...rankLines(told, width))
  return lines
}

function outcomeLines({ tally, columns }: Summary, total: number): readonly Line[] {
  const line = (words: string, ink: Ink, many: number): Line => [
    piece(padded(`  ${words}`, 20), ink),
    piece(counted(many).padStart(12)),
    piece(share(many, total).padStart(11), 'pencil'),
  ]
  const wishes = columns.some(column => column.role === 'margin' && column.level !== 'must')
  return OUTCOMES.flatMap(([outcome, ink]) => {
    const many = tally.outcomes[outcome]
    if (many === 0 && outcome !== 'solved') return []
    const rest = outcome === 'solved' && many > 0 && wishes ? [line('  every target met', 'pencil', tally.met)] : []
    return [line(outcome, ink, many), ...rest]
  })
}

export function totalOf({ outcomes }: Pick<TallyState, 'outcomes'>): number {
  return outcomes.solved + outcomes.conflict + outcomes.unsure + outcomes.faulty
}

/** 12,000. */
export function counted(many: number): string {
  return many.toLocaleString('en')
}

function share(part: number, total: number): string {
  if (total === 0) return ''
  const percent = (100 * part) / total
  const text = percent > 0 && percent < 1 ? 'under 1 %' : `${percent > 99 && part < total ? 99 : Math.round(percent)} %`
  return text
}

/** A count before what it counts, most first. */
function countLines(counts: Readonly<Record<string, number>>, width: number, words: (sort: string) => string): Line[] {
  const all = Object.entries(counts).sort(([a, one], [b, two]) => two - one || (a < b ? -1 : 1))
  const shown = all.slice(0, MOST_LINES)
  const rest = all.slice(MOST_LINES).reduce((sum, [, many]) => sum + many, 0)
  const lines = shown.map(([sort, many]) => [counted(many), words(sort)] as const)
  if (rest > 0) lines.push([counted(rest), 'in other ways'])
  return lines.flatMap(([many, text]) =>
    wrap(text, width - INDENT).map(
      (part, k): Line => [piece(padded(k === 0 ? many.padStart(12) : '', INDENT)), piece(part)],
    ),
  )
}

const INDENT = 14

function shortLines({ short }: TallyState, width: number): readonly Line[] {
  if (Object.keys(short).length === 0) return []
  return [
    BLANK,
    [piece('Conflicts, by the musts that stay short at the closest compromise')],
    ...countLines(short, width, sort =>
      sort === OTHERS ? 'in other ways' : sort === '' ? 'no must by itself' : listed(sort.split('\n')),
    ),
  ]
}

function problemLines({ problems }: TallyState, width: number): readonly Line[] {
  if (Object.keys(problems).length === 0) return []
  return [BLANK, [piece('Faulty, by their problem')], ...countLines(problems, width, sort => sort)]
}

function endLines(
  place: number,
  { best, worst }: { best: Told; worst: Told },
  columns: readonly VariantColumn[],
  width: number,
): readonly Line[] {
  const column = columns[place]!
  const head = `${column.sense === 'most' ? 'Most' : 'Least'} ${column.name}`
  const line = (name: string, row: Told): readonly Line[] => variantLines(name, row, place, columns, width)
  const same = best[0] === worst[0]
  return [BLANK, [piece(head)], ...line('best', best), ...(same ? [] : line('worst', worst))]
}

/** One variant: its value, its number, what varies in it and its settings. */
function variantLines(
  name: string,
  row: Told,
  place: number,
  columns: readonly VariantColumn[],
  width: number,
): readonly Line[] {
  const told = (role: VariantColumn['role']): string =>
    columns
      .flatMap((column, at) =>
        column.role === role && row[at] !== null ? [`${column.name} ${tied(cellText(row, at, columns))}`] : [],
      )
      .join(', ')
  const settings = told('setting')
  const words = `variant ${counted(numberOf(row[0]))}: ${told('varied')}${settings === '' ? '' : `; set ${settings}`}`
  const value = cellText(row, place, columns)
  const indent = Math.max(24, 8 + widthOf(value) + 3)
  return wrap(words, width - indent).map(
    (part, k): Line =>
      k === 0
        ? [piece(padded(`  ${name}`, 8)), piece(padded(value, indent - 8), 'strong'), piece(part)]
        : [piece(padded('', indent)), piece(part)],
  )
}

/** Four figures are enough to read; settings and what varies stand as they are. */
function cellText(row: Told, place: number, columns: readonly VariantColumn[]): string {
  const { unit, role } = columns[place]!
  const cell = row[place]!
  if (cell === 'infinity') return 'infinite'
  const exact = role === 'setting' || role === 'varied' || typeof cell !== 'number'
  const text = exact ? String(cell) : String(Number(cell.toPrecision(4)))
  return `${text} ${unit}`.trim()
}

function decidingLines(tally: TallyState, columns: readonly VariantColumn[], width: number): readonly Line[] {
  const deciding = decidingColumn(tally)
  if (!deciding) return []
  const { name, unit } = columns[deciding.place]!
  const { shown, all } = bandsOf(tally.values[deciding.place]!, deciding.of)
  const rates = shown.map((band, k) => {
    const of = k > 0 ? '' : ` of the variants ${deciding.of === 'solved' ? 'are solved' : 'meet every target'}`
    return `${tied(share(band.good, band.all))}${of} ${whereOf(band, unit)}`
  })
  const words = `What decides most is ${name}: ${listed(rates)}${all ? '' : ', at the best and the worst values'}.`
  return [BLANK, ...wrap(words, width).map((part): Line => [piece(part)])]
}

function whereOf({ from, to }: Band, unit: string): string {
  const value = (text: string): string => (text === '' ? 'none' : tied(`${text} ${unit}`.trim()))
  return from === to ? `at ${value(from)}` : `from ${value(from)} to ${value(to)}`
}

/** A number and its unit stay on one line. */
function tied(text: string): string {
  return text.replaceAll(' ', TIE)
}

function rankLines({ tally, rank, columns }: Summary, width: number): readonly Line[] {
  if (!rank || tally.ranked.length === 0) return []
  return [
    BLANK,
    [piece(`Solved, ${rank.sense} ${columns[rank.place]!.name} first`)],
    ...tally.ranked.flatMap((row, k) => variantLines(`${String(k + 1).padStart(3)}`, row, rank.place, columns, width)),
  ]
}
