import type { Answer } from '../../answer.ts'
import type { SheetOutline } from '../../outline.ts'
import type { Sheet } from '../../sheet.ts'
import type { Said, SheetAsking } from '../spoken.ts'
import { type Desk, opened } from './desk.ts'
import { flightView, mapShown } from './pictures.ts'
import { whyView } from './why-view.ts'

/** A wider map tells no more [px]; on a page wider than this its detail stands beside it, and is so wide. */
const MAP_WIDTH = 900
const WIDE = 1050
const DETAIL = 372
/** Cells each way of the map while a hand moves, at once when it is still, and at rest. */
const CELLS = { moving: 16, first: 48, rest: 200 } as const

/**
 * What is said to a sheet behind its answer, piece by piece, the most wanted first; the caller may stop between any two. Gives whether a
 * flight card is to be drawn.
 */
export function* picturesSaid(desk: Desk, asking: SheetAsking, answer: Answer): Generator<Said, boolean> {
  const { text, set, moving, width } = asking
  const sheet = opened(desk, text)
  if (!moving || moving.flight) {
    const name = flightOf(answer, asking.flight)
    const flown = name === undefined ? null : sheet.fly({ set: settled(answer), flight: name })
    yield { kind: 'flight', view: flown && flightView(name!, flown, answer, width, moving !== null) }
  }
  if (!moving || moving.map) yield* mapSaid(desk, asking, sheet, answer, moving ? 'moving' : 'first')
  if (moving) return false
  yield { kind: 'why', view: whyView(sheet, answer, set) }
  yield* mapSaid(desk, asking, sheet, answer, 'rest')
  return answer.outcome !== 'unsure'
}

/**
 * The map of the first two levers, where there are two; pins of those two only move its mark, which the page draws itself. Nothing is said
 * where the map on show is still right.
 */
function* mapSaid(
  desk: Desk,
  { text, set, width, map: onShow }: SheetAsking,
  sheet: Sheet,
  answer: Answer,
  how: keyof typeof CELLS,
): Generator<Said> {
  const request = mapRequest(desk.outline, set)
  if (!request) {
    yield { kind: 'map', drawn: null }
    return
  }
  const { across, up } = request
  const held = Object.entries(settled(answer)).filter(([name]) => name !== across && name !== up)
  const of = JSON.stringify([text, held, width])
  const inks = JSON.stringify(answer.targets.map(({ met, atLimit }) => [met, atLimit]))
  const { mapped } = desk
  const stays = mapped?.stamp === onShow && mapped?.of === of
  const right = stays && (how === 'moving' || (mapped.inks === inks && (how === 'first' || mapped.rest)))
  if (right) return
  const map = sheet.map({ ...request, cells: CELLS[how], memory: desk.mapMemory })
  if (map.outcome === 'faulty') {
    yield { kind: 'map', drawn: null }
    return
  }
  const beside = width > WIDE
  const widths = {
    width: Math.min(beside ? width - DETAIL - 24 : width, MAP_WIDTH),
    detail: beside ? DETAIL : Math.min(width, 480),
  }
  const stamp = performance.timeOrigin + performance.now()
  desk.mapped = { stamp, of, inks, rest: how === 'rest' }
  yield {
    kind: 'map',
    drawn: { stamp, ...mapShown(map, answer, { ...widths, coarse: how !== 'rest', quick: how !== 'rest' }) },
  }
}

/** The map on show: of the first two levers, the others held where they are pinned; null where there are not two. */
export function mapRequest(
  outline: SheetOutline | null,
  set: SheetAsking['set'],
): { readonly across: string; readonly up: string; readonly set: SheetAsking['set']; readonly stopped: true } | null {
  const [across, up] = (outline?.levers ?? []).map(lever => lever.name)
  if (across === undefined || up === undefined) return null
  const others = Object.entries(set).filter(([name]) => name !== across && name !== up)
  // Where the answer was stopped before it was done the map shows the place that it came to, and does not search anew.
  return { across, up, set: Object.fromEntries(others), stopped: true }
}

/** The flight of this name, or the first that there is. */
export function flightOf({ flights }: Answer, wanted: string | null): string | undefined {
  const names = Object.keys(flights)
  return names.find(each => each === wanted) ?? names[0]
}

/** The settings of an answer as pins, so that what follows searches nothing. */
export function settled(answer: Answer): Readonly<Record<string, number>> {
  const quantities = answer.conflict?.compromise?.quantities ?? answer.quantities
  return Object.fromEntries(
    Object.entries(quantities).flatMap(([name, { role, si }]) =>
      role === 'lever' && typeof si === 'number' ? [[name, si] as const] : [],
    ),
  )
}
