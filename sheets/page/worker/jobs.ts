import { formatQuantity } from '../../../grammar/units/choose.ts'
import type { Answer } from '../../answer.ts'
import { openSheet } from '../../index.ts'
import type { SheetOutline } from '../../outline.ts'
import { cardParts } from '../../picture/card.ts'
import { DRAWN } from '../../report/characters.ts'
import { asNumber } from '../../report/number.ts'
import { targetWords, unitNamed } from '../../report/target-words.ts'
import { workingReport } from '../../report/working-report.ts'
import type { Sheet } from '../../sheet.ts'
import { answerBook } from '../../workbook/answer-book.ts'
import type { Asking, ComparedDraft, Said } from '../spoken.ts'
import { answerView } from './answer-view.ts'
import { flightView, mapShown } from './pictures.ts'
import { whyView } from './why-view.ts'

/** What a worker keeps between askings: the sheet last opened. */
export interface Desk {
  text: string
  sheet: Sheet | null
  outline: SheetOutline | null
  /** What the map last drawn was of: a hand on its levers leaves it as it is. */
  mapped: { readonly of: string; readonly inks: string; readonly rest: boolean } | null
}

/** A wider map tells no more [px]. */
const MAP_WIDTH = 900
/** Cells each way of the map while a hand moves, at once when it is still, and at rest. */
const CELLS = { moving: 16, first: 48, rest: 200 } as const

function opened(desk: Desk, text: string): Sheet {
  if (desk.sheet === null || desk.text !== text) {
    desk.sheet = openSheet(text, { name: 'sheet', load: noFile })
    desk.text = text
    desk.outline = null
  }
  return desk.sheet
}

function noFile(path: string): never {
  throw new Error(`A page reads no files beside its sheet; write the rows of "${path}" under the table instead.`)
}

type SheetAsking = Extract<Asking, { readonly kind: 'sheet' }>

/** What is said to an asking, piece by piece, the most wanted first; the caller may stop between any two. */
export function* job(desk: Desk, asking: Asking, watch: (flights: number) => boolean = () => true): Generator<Said> {
  switch (asking.kind) {
    case 'sheet':
      yield* answerSheet(desk, asking, watch)
      return
    case 'working': {
      const { text, set, name } = asking
      const answer = opened(desk, text).working(name, { set, deep: 1 })
      const lines = workingReport(answer, '', { width: 72, characters: DRAWN })
      // The first two lines are the title of a report.
      yield { kind: 'working', view: { name: answer.name, lines } }
      return
    }
    case 'tidy':
      yield { kind: 'tidy', text: opened(desk, asking.text).tidy() }
      return
    case 'book': {
      const answer = opened(desk, asking.text).solve({ set: asking.set })
      if (answer.outcome !== 'faulty') yield { kind: 'book', book: answerBook(answer, asking.text) }
      return
    }
    case 'drafts':
      yield { kind: 'drafts', compared: asking.drafts.map(comparedDraft) }
      return
    case 'variants':
      yield* solveVariants(opened(desk, asking.text), asking.set)
      return
  }
}

function cardOf(sheet: Sheet, answer: Answer): ReturnType<typeof cardParts> {
  const [flight] = Object.keys(answer.flights)
  const flown = answer.outcome === 'solved' && flight !== undefined ? sheet.fly({ set: settled(answer), flight }) : null
  return cardParts({ answer, flight: flown, file: 'the sheet', paper: 'A4' })
}

function* answerSheet(desk: Desk, asking: SheetAsking, watch: (flights: number) => boolean): Generator<Said> {
  const { text, set, moving, width } = asking
  const sheet = opened(desk, text)
  const answer = sheet.solve({ set, watch })
  const outline = desk.outline ?? sheet.outline()
  desk.outline = outline
  yield { kind: 'answer', view: answerView(answer, sheet, outline, asking.units) }
  if (answer.outcome === 'faulty') return
  const [name] = Object.keys(answer.flights)
  const flown = name === undefined ? null : sheet.fly({ set: settled(answer), flight: name })
  yield { kind: 'flight', view: flown && flightView(name!, flown, answer, width) }
  yield* mapSaid(desk, asking, sheet, answer, moving ? 'moving' : 'first')
  if (moving) return
  yield { kind: 'why', view: whyView(sheet, answer, set) }
  yield* mapSaid(desk, asking, sheet, answer, 'rest')
  if (answer.outcome !== 'unsure') yield { kind: 'card', ...cardOf(sheet, answer) }
}

/**
 * The map of the first two levers, where there are two; pins of those two only move its mark, which the page draws itself. Nothing is said
 * where the map on show is still right.
 */
function* mapSaid(
  desk: Desk,
  { text, set, width }: SheetAsking,
  sheet: Sheet,
  answer: Answer,
  how: keyof typeof CELLS,
): Generator<Said> {
  const [across, up] = (desk.outline?.levers ?? []).map(lever => lever.name)
  if (across === undefined || up === undefined) {
    yield { kind: 'map', drawn: null }
    return
  }
  const others = Object.fromEntries(Object.entries(set).filter(([name]) => name !== across && name !== up))
  const held = Object.entries(settled(answer)).filter(([name]) => name !== across && name !== up)
  const of = JSON.stringify([text, held, width])
  const inks = JSON.stringify(answer.targets.map(({ met, atLimit }) => [met, atLimit]))
  const { mapped } = desk
  const right = mapped?.of === of && (how === 'moving' || (mapped.inks === inks && (how === 'first' || mapped.rest)))
  if (right) return
  const map = sheet.map({ across, up, set: others, cells: CELLS[how] })
  if (map.outcome === 'faulty') {
    yield { kind: 'map', drawn: null }
    return
  }
  desk.mapped = { of, inks, rest: how === 'rest' }
  yield {
    kind: 'map',
    drawn: mapShown(map, answer, { width: Math.min(width, MAP_WIDTH), coarse: how !== 'rest', quick: how !== 'rest' }),
  }
}

/** The settings of an answer as pins, so that what follows searches nothing. */
function settled(answer: Answer): Readonly<Record<string, number>> {
  const quantities = answer.conflict?.compromise?.quantities ?? answer.quantities
  return Object.fromEntries(
    Object.entries(quantities).flatMap(([name, { role, si }]) =>
      role === 'lever' && typeof si === 'number' ? [[name, si] as const] : [],
    ),
  )
}

/** So many rows between two looks at whether anything newer is asked. */
const ROWS = 20
const MOST_ROWS = 5000

function* solveVariants(sheet: Sheet, set: Readonly<Record<string, number>>): Generator<Said> {
  const variants = sheet.variants({ set })
  const columns = variants.columns.map(({ header, role }) => ({ header, role }))
  const said = (rows: readonly (readonly string[])[], done: boolean): Said => ({
    kind: 'variants',
    view: { columns, rows, done, problem: variants.problems.find(each => each.severity === 'error')?.message ?? null },
  })
  let rows: string[][] = []
  let count = 0
  for (const row of variants) {
    rows.push(variants.columns.map(({ header }) => wordOf(row[header] ?? null)))
    count++
    if (rows.length === ROWS) {
      yield said(rows, false)
      rows = []
    }
    if (count === MOST_ROWS) break
  }
  yield said(rows, true)
}

function wordOf(cell: number | string | null): string {
  return cell === null ? '' : typeof cell === 'number' ? String(Number(cell.toPrecision(6))) : cell
}

function comparedDraft({
  name,
  text,
  pins,
}: Extract<Asking, { readonly kind: 'drafts' }>['drafts'][number]): ComparedDraft {
  const answer = openSheet(text, { load: noFile }).solve({ set: pins })
  const quantities = answer.conflict?.compromise?.quantities ?? answer.quantities
  const settings = Object.entries(quantities).flatMap(([lever, { role, text: words }]) =>
    role === 'lever' ? [[lever, words] as const] : [],
  )
  const targets = answer.targets.map(target => {
    const { subject, value, limit } = targetWords(target, quantities)
    return [subject, `${value} (${limit})`] as const
  })
  const aims = answer.aims.map(
    aim =>
      [
        aim.text,
        aim.si === null ? 'no value' : formatQuantity(asNumber(aim.si), unitNamed(aim.unit ?? ''), 4),
      ] as const,
  )
  return { name, cells: { outcome: answer.outcome, ...Object.fromEntries([...settings, ...targets, ...aims]) } }
}
