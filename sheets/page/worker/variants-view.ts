import { variantsPicture } from '../../picture/variants-picture.ts'
import type { Sheet } from '../../sheet.ts'
import type { VariantCell, VariantColumn, Variants } from '../../variants/answer.ts'
import { isShort, Tally } from '../../variants/tally.ts'
import { variedPlaces } from '../../variants/varied.ts'
import type { Asking, Said, VariantRowView, VariantsView } from '../spoken.ts'
import { type Desk, opened } from './desk.ts'
import { PAGE_THEME } from './inks.ts'

type VariantsAsking = Extract<Asking, { readonly kind: 'variants' }>

/** So many rows are said at a time, so that a worker soon hears that something newer is asked. */
const TOGETHER = 4
/** More rows are for the command line, which has all cores and all the disk; no more cells than a picture may have. */
const MOST_ROWS = 5000
/** The picture is drawn again whenever there are so many times more rows than when it was drawn last. */
const GROWTH = 2
const FIRST_DRAWN = 32
/** A wider picture tells no more [px]. */
const WIDEST = 560

/** Solves the variants of a sheet: rows as they come, and the picture of the whole. */
export function* variantsSaid(desk: Desk, asking: VariantsAsking): Generator<Said> {
  const sheet = opened(desk, asking.text)
  const variants = sheet.variants({ set: asking.set })
  const total = variants.blocks.reduce((sum, { count }) => sum + (count ?? 0), 0)
  const problem = variants.problems.find(each => each.severity === 'error') ?? null
  const of = JSON.stringify([asking.text, asking.set])
  const kept = desk.varied?.of === of ? desk.varied.rows : null
  const teller = tellerOf(sheet, variants, total, asking)
  if (problem || (!kept && asking.most !== null && total > asking.most)) {
    const words = problem && [problem.message, problem.mend ?? ''].join(' ').trim()
    yield { kind: 'variants', view: { ...teller.view([]), waits: !problem, done: true, problem: words } }
    return
  }
  if (kept) {
    yield teller.said(kept, true)
    return
  }
  const rows: (readonly VariantCell[])[] = []
  let fresh: (readonly VariantCell[])[] = []
  for (const row of variants) {
    const cells = variants.columns.map(({ header }) => row[header] ?? null)
    rows.push(cells)
    fresh.push(cells)
    if (rows.length === MOST_ROWS) break
    if (fresh.length === TOGETHER) {
      yield teller.said(fresh, false)
      fresh = []
    }
  }
  desk.varied = { of, rows }
  yield teller.said(fresh, true)
}

interface Teller {
  readonly view: (rows: readonly VariantRowView[]) => VariantsView
  readonly said: (rows: readonly (readonly VariantCell[])[], last: boolean) => Said
}

/** Counts rows as they come, and tells them with the picture where it is time for one. */
function tellerOf(sheet: Sheet, { columns, sheet: title }: Variants, total: number, asking: VariantsAsking): Teller {
  const places = axesOf(columns, asking)
  const tally = new Tally(columns, places ? { cross: places } : {})
  const margins = columns.flatMap((column, place) => (column.role === 'margin' ? [place] : []))
  let from = 0
  let drawnAt = FIRST_DRAWN / GROWTH
  const noPicture = places || columns.length === 0 ? null : 'Nothing varies, so there is nothing to draw.'
  const take = (cells: readonly VariantCell[]): VariantRowView => {
    const fate = tally.take(cells)
    const short = fate === 'solved' || fate === 'conflict' ? margins.filter(place => isShort(cells[place])) : []
    return { cells, fate, short: short.map(place => columns[place]!.name.replace(/^margin of /, '')) }
  }
  const draw = (): VariantsView['drawn'] => {
    const [across, up] = places!
    const subject = { sheet: title || sheet.name, columns, tally: tally.state, across, up, theme: PAGE_THEME }
    const picture = variantsPicture({ ...subject, part: { width: Math.min(WIDEST, asking.width) } })
    return { svg: picture.svg, width: picture.width, words: wordsOf(tally, columns, places!) }
  }
  const view = (rows: readonly VariantRowView[]): VariantsView => ({
    columns: columns.map(({ header, name, role }) => ({ header, name, role })),
    from,
    rows,
    total,
    most: MOST_ROWS,
    waits: false,
    done: false,
    axes: places && {
      across: columns[places[0]]!.name,
      up: places[1] === null ? null : columns[places[1]]!.name,
    },
    drawn: null,
    noPicture,
    problem: null,
  })
  return {
    view,
    said: (cells, last) => {
      const rows = cells.map(take)
      const count = from + rows.length
      const due = noPicture === null && (last || count >= GROWTH * drawnAt)
      if (due) drawnAt = count
      const told = { ...view(rows), done: last, drawn: due ? draw() : null }
      from = count
      return { kind: 'variants', view: told }
    },
  }
}

/** The two columns of the picture: those asked for, or the first that vary; one where only one varies. */
function axesOf(columns: readonly VariantColumn[], asking: VariantsAsking): readonly [number, number | null] | null {
  const varied = variedPlaces(columns)
  const named = (name: string | null): number | undefined => varied.find(place => columns[place]!.name === name)
  const up = named(asking.up)
  const across = named(asking.across) ?? varied.find(place => place !== up)
  if (across === undefined) return null
  return [across, up !== undefined && up !== across ? up : (varied.find(place => place !== across) ?? null)]
}

/** The picture for those who do not see it. */
function wordsOf(
  { state, total }: Tally,
  columns: readonly VariantColumn[],
  [across, up]: readonly [number, number | null],
): string {
  const by = [across, up].flatMap(place => (place === null ? [] : [columns[place]!.name])).join(' and ')
  const { solved, conflict, unsure, faulty } = state.outcomes
  const counts = [
    [state.met, 'meet every target'],
    [solved - state.met, 'meet every must only'],
    [conflict, 'are in conflict'],
    [unsure, 'are unsure'],
    [faulty, 'are faulty'],
  ] as const
  const told = counts.flatMap(([many, words]) => (many > 0 ? [`${many} ${words}`] : []))
  return `Picture of ${total} variants by ${by}: ${told.join(', ')}.`
}
