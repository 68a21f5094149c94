import { formatQuantity } from '../../../grammar/units/choose.ts'
import type { Answer } from '../../answer.ts'
import { openSheet } from '../../index.ts'
import { cardParts } from '../../picture/card.ts'
import { mapPicture } from '../../picture/map-picture.ts'
import { THEMES } from '../../picture/theme.ts'
import { DRAWN } from '../../report/characters.ts'
import { BLANK } from '../../report/marked.ts'
import { asNumber } from '../../report/number.ts'
import { targetWords, unitNamed } from '../../report/target-words.ts'
import { workingReport } from '../../report/working-report.ts'
import type { Sheet } from '../../sheet.ts'
import { answerBook } from '../../workbook/answer-book.ts'
import type { Asking, ComparedDraft, Said } from '../spoken.ts'
import { type Desk, fileOf, opened } from './desk.ts'
import { pinsOf } from './pinned.ts'
import { settingSaid } from './setting.ts'
import { flightOf, mapRequest, settled } from './sheet-pictures.ts'
import { variantsSaid } from './variants-view.ts'

// What the first answer does not need: it comes to the worker by itself, behind that answer.

/** What is said to any other asking than a sheet's, piece by piece; the caller may stop between any two. */
export function* laterJob(desk: Desk, asking: Exclude<Asking, { readonly kind: 'sheet' }>): Generator<Said> {
  switch (asking.kind) {
    case 'working': {
      const { text, set, name } = asking
      const answer = opened(desk, text).working(name, { set, deep: 1 })
      const lines = workingReport(answer, '', { width: asking.width, characters: DRAWN })
      // The page says above it whose working this is: the title of a report, and the blank beneath it, are left out.
      yield { kind: 'working', view: { name: answer.name, lines: lines.slice(lines.indexOf(BLANK) + 1) } }
      return
    }
    case 'tidy':
      yield { kind: 'tidy', text: opened(desk, asking.text).tidy() }
      return
    case 'setting':
      yield settingSaid(opened(desk, asking.text), asking)
      return
    case 'picture': {
      const svg = wholeMap(opened(desk, asking.text), asking)
      if (svg !== null) yield { kind: 'picture', svg }
      return
    }
    case 'book': {
      const answer = opened(desk, asking.text).solve({ set: asking.set })
      if (answer.outcome !== 'faulty') yield { kind: 'book', book: answerBook(answer, asking.text) }
      return
    }
    case 'drafts':
      yield { kind: 'drafts', compared: asking.drafts.map(draft => comparedDraft(desk, draft)) }
      return
    case 'variants':
      yield* variantsSaid(desk, asking)
      return
  }
}

/** The trade map on show as the command draws it, with its detail, title and foot; null where there is none. */
function wholeMap(sheet: Sheet, { set, theme, file }: Extract<Asking, { readonly kind: 'picture' }>): string | null {
  const request = mapRequest(sheet.outline(), set)
  const found = request && sheet.map(request)
  if (!found || found.outcome === 'faulty') return null
  // A sheet without a title is called by its file.
  const map = sheet.title === '' ? { ...found, sheet: file } : found
  const source = map.sheet === file ? file : `${file}: ${map.sheet}`
  return mapPicture({ map, answer: sheet.solve({ set }), theme: THEMES[theme], source }).svg
}

/** The flight card of a sheet that has been answered, with the flight that is wanted or the first. */
export function cardSaid(desk: Desk, text: string, answer: Answer, wanted: string | null): Said {
  const flight = flightOf(answer, wanted)
  const fly = answer.outcome === 'solved' && flight !== undefined
  const flown = fly ? opened(desk, text).fly({ set: settled(answer), flight }) : null
  return { kind: 'card', ...cardParts({ answer, flight: flown, name: flight, file: 'the sheet', paper: 'A4' }) }
}

function comparedDraft(
  desk: Desk,
  { name, text, pins }: Extract<Asking, { readonly kind: 'drafts' }>['drafts'][number],
): ComparedDraft {
  const sheet = openSheet(text, { load: path => fileOf(desk.files, path) })
  const answer = sheet.solve({ set: pinsOf(sheet.outline(), pins) })
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
