import { padded, widthOf } from '../../grammar/width.ts'
import type { Answer, ConflictSetAnswer, MendAnswer, Setting } from '../answer.ts'
import { listed } from './listed.ts'
import { type Line, piece, TIE, wrap } from './marked.ts'
import { NAME } from './rows.ts'
import { cutWords, thoseWords } from './verdict.ts'

/** Where the change of a mend stands beside its target. */
const CHANGE = 45

/** The sets of a conflict, each with what would free it: the first under the verdict, the others with a sentence of their own. */
export function conflictLines(answer: Answer, width: number): readonly (readonly Line[])[] {
  const sets = answer.conflict?.sets ?? []
  const cut = cutWords(answer)
  const told = sets.flatMap((set, place) => [
    ...(place === 0 ? [] : [plain(`${thoseWords(set)} either:`, width)]),
    [...set.targets, ...set.ranges].flatMap(text => indented(text, width)),
    ...mendParts(set, sets.length > 1, width),
  ])
  return cut === '' ? told : [...told, plain(cut, width)]
}

function mendParts(set: ConflictSetAnswer, several: boolean, width: number): readonly (readonly Line[])[] {
  const mends = [...set.mends].sort((a, b) => shareOf(a) - shareOf(b))
  const rows = mends.flatMap((mend, place) => mendLines(mend, place + 1, width))
  const wider = set.widenings.map(each => each.text)
  const or =
    wider.length === 0
      ? []
      : [plain(`Or give ${wider.length === 1 ? 'a lever' : 'one lever'} more range: ${listed(wider, 'or')}.`, width)]
  if (rows.length === 0) return or
  const rest = several ? 'the rest of these' : 'the rest'
  const head =
    set.targets.length === 1
      ? 'Change it by no less than this:'
      : `Change one of them, by no more than this, and ${rest} are met:`
  return [plain(head, width), rows, ...or]
}

/** The change as a share of the old limit; a limit of zero comes last. */
function shareOf({ si, by }: MendAnswer): number {
  const old = Math.abs(si - by)
  return old > 0 ? Math.abs(by) / old : Number.POSITIVE_INFINITY
}

function mendLines({ text, change, settings }: MendAnswer, number: number, width: number): readonly Line[] {
  const head = padded(`   ${number}`, NAME)
  const then = `then ${settingsWords(settings)}`
  const beside = widthOf(head + text) + 2 <= CHANGE && CHANGE + widthOf(change) <= width
  const first: readonly Line[] = beside
    ? [[piece(head), piece(padded(text, CHANGE - NAME), 'strong'), piece(change)]]
    : [
        ...wrap(text, width - NAME).map(
          (line, place): Line => [piece(place === 0 ? head : ' '.repeat(NAME)), piece(line, 'strong')],
        ),
        ...indented(change, width),
      ]
  return [...first, ...(Object.keys(settings).length === 0 ? [] : indented(then, width))]
}

function settingsWords(settings: Readonly<Record<string, Setting>>): string {
  return Object.entries(settings)
    .map(([name, { text }]) => `${name} ${text}`.replaceAll(' ', TIE))
    .join(', ')
}

function indented(text: string, width: number): readonly Line[] {
  return wrap(text, width - NAME).map(line => [piece(' '.repeat(NAME) + line)])
}

function plain(words: string, width: number): readonly Line[] {
  return wrap(words, width).map(line => [piece(line)])
}
