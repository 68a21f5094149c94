import { padded, widthOf } from '../../grammar/width.ts'
import type { Answer, TargetAnswer } from '../answer.ts'
import { CAUTIONS } from './cautions.ts'
import { type Characters, DRAWN } from './characters.ts'
import { conflictLines } from './conflict-report.ts'
import { flightWords } from './flight-words.ts'
import { BLANK, type Ink, type Line, piece, TIE, wrap } from './marked.ts'
import { pinnedWords } from './pinned-words.ts'
import { priceWords } from './price-words.ts'
import { residualWords } from './residual-words.ts'
import { aimLines, figureLines, NAME, targetLines } from './rows.ts'
import { leversOf, settingLines, settingWords } from './settings.ts'
import { meetsMusts, verdictOf } from './verdict.ts'
import { workWords } from './work-words.ts'

/** How a report is laid out. */
export interface Layout {
  /** The columns there are; 80 where unknown. */
  readonly width: number
  readonly characters: Characters
}

export const STANDARD_LAYOUT: Layout = { width: 80, characters: DRAWN }

/** More figures than this are left to `--json`. */
const MOST_FIGURES = 24

/**
 * An answer as a page of lines: what to set, the verdict, each target on its margin scale, the aims, the flight, the
 * sheet's own figures, what the limits cost, the cautions and the work. `file` is what the sheet is called. A faulty answer has no more than
 * its verdict: its problems are told apart.
 */
export function solveReport(answer: Answer, file: string, layout: Layout = STANDARD_LAYOUT): readonly Line[] {
  const parts = answer.outcome === 'solved' ? solvedParts(answer, layout) : unsolvedParts(answer, layout)
  return spaced([[titleLine(file, answer.sheet, layout.width)].flat(), ...parts])
}

/** The file's name at the left, the sheet's title at the right. */
export function titleLine(file: string, title: string, width: number): readonly Line[] {
  const gap = width - widthOf(file) - widthOf(title)
  if (title === '' || title === file) return [[piece(file, 'pencil')]]
  if (gap >= 3) return [[piece(file + ' '.repeat(gap) + title, 'pencil')]]
  return [file, ...wrap(title, width)].map(line => [piece(line, 'pencil')])
}

function solvedParts(answer: Answer, layout: Layout): readonly (readonly Line[])[] {
  const { width } = layout
  const { verdict, more } = verdictOf(answer)
  const levers = leversOf(answer.quantities).length
  return [
    settingLines(answer.quantities, width),
    sentence(verdict, more, 'strong', width),
    [
      ...targetRows(answer.targets, answer.quantities, layout),
      ...answer.aims.flatMap(aim => aimLines(aim, answer.quantities, width)),
    ],
    paragraph(residualWords(answer) ?? '', width),
    flightWords(answer).flatMap(words => paragraph(words, width)),
    ownFigures(answer, width),
    priceWords(answer).flatMap(words => paragraph(words, width)),
    levers > 0 ? paragraph(CAUTIONS, width, 'pencil') : [],
    paragraph(workWords(answer), width, 'pencil'),
  ]
}

function unsolvedParts(answer: Answer, layout: Layout): readonly (readonly Line[])[] {
  const { width } = layout
  const compromise = answer.conflict?.compromise ?? null
  const quantities = compromise?.quantities ?? answer.quantities
  const targets = compromise?.targets ?? answer.targets
  const ink = answer.outcome === 'conflict' ? 'short' : 'strong'
  const settings = settingWords(quantities)
  const values = targets.some(target => target.si !== null)
  return [
    sentence(verdictOf(answer).verdict, '', ink, width),
    ...conflictLines(answer, width),
    answer.outcome === 'conflict' ? paragraph(pinnedIn(quantities), width) : [],
    answer.outcome === 'unsure' && answer.tried ? paragraph(`Tried: ${answer.tried.replace(/\.$/, '')}.`, width) : [],
    settings !== '' && values ? paragraph(`${settingsHead(answer)}: ${settings}`, width) : [],
    targetRows(targets, quantities, layout),
    paragraph(workWords(answer), width, 'pencil'),
  ]
}

function pinnedIn(quantities: Answer['quantities']): string {
  const pinned = leversOf(quantities).filter(([, lever]) => lever.pinned)
  return pinnedWords(
    pinned.map(([name, { text }]) => [name, text]),
    TIE,
  )
}

function settingsHead(answer: Answer): string {
  return meetsMusts(answer) ? 'Best settings so far' : 'Closest compromise, not a setting to fly'
}

function targetRows(
  targets: readonly TargetAnswer[],
  quantities: Answer['quantities'],
  layout: Layout,
): readonly Line[] {
  return targets.flatMap(target => targetLines(target, quantities, layout.width, layout.characters))
}

/** The sheet's own figures that no target and no aim has shown yet; a flight's figures have sentences of their own. */
function ownFigures(answer: Answer, width: number): readonly Line[] {
  const flights = Object.keys(answer.flights)
  const shown = [...answer.targets, ...answer.aims].map(each => ` ${each.text} `)
  const own = Object.entries(answer.quantities).filter(([name, quantity]) => {
    if (quantity.role !== 'figure' || name.includes(' of ')) return false
    if (flights.some(flight => Object.hasOwn(answer.quantities, `${name} of ${flight}`))) return false
    return !shown.some(
      text =>
        text.startsWith(` ${name} at `) ||
        text.startsWith(` ${name} within `) ||
        text.startsWith(` ${name} equal `) ||
        text.endsWith(` ${name} `),
    )
  })
  const lines = own
    .slice(0, MOST_FIGURES)
    .flatMap(([name, quantity], place) => figureLines(place === 0 ? 'figure' : '', name, quantity, width))
  const left = own.length - MOST_FIGURES
  return left > 0 ? [...lines, [piece(`${padded('', NAME)}and ${left} more: --json gives them all`, 'pencil')]] : lines
}

function sentence(strong: string, more: string, ink: Ink, width: number): readonly Line[] {
  return wrap(more === '' ? strong : `${strong} ${more}`, width).map((line, place, all) => {
    // The strong sentence may end inside a line.
    const before = all.slice(0, place).reduce((sum, each) => sum + each.length + 1, 0)
    const end = Math.max(0, Math.min(line.length, strong.length - before))
    return [piece(line.slice(0, end), ink), piece(line.slice(end))]
  })
}

function paragraph(words: string, width: number, ink: Ink = 'plain'): readonly Line[] {
  return wrap(words, width).map(line => [piece(line, ink)])
}

/** Parts with a blank line between them; empty ones are left out. */
export function spaced(parts: readonly (readonly Line[])[]): readonly Line[] {
  return parts.filter(part => part.length > 0).flatMap((part, place) => (place === 0 ? part : [BLANK, ...part]))
}
