import { padded, widthOf } from '../../grammar/width.ts'
import type { Answer, QuantityAnswer } from '../answer.ts'
import { type Line, piece, TIE, wrap } from './marked.ts'

/** The levers of an answer by name, in the order of the sheet. */
export function leversOf(quantities: Answer['quantities']): readonly (readonly [string, QuantityAnswer])[] {
  return Object.entries(quantities).filter(([, quantity]) => quantity.role === 'lever')
}

/** Where the columns of the settings begin. */
const NAME = 8
const DESCRIPTION = 34
/** A description needs at least this much room beside its setting. */
const LEAST = 24

/** The settings, first and large: lever, setting, and what it is. */
export function settingLines(quantities: Answer['quantities'], width: number): readonly Line[] {
  const levers = leversOf(quantities)
  if (levers.length === 0) return wrap('Nothing to set: this sheet has no levers.', width).map(line => [piece(line)])
  const nameWidth = Math.min(Math.max(...levers.map(([name]) => widthOf(name))), width - NAME - 12)
  const settingWidth = Math.max(...levers.map(([, lever]) => widthOf(lever.text)))
  const setting = NAME + nameWidth + 3
  const description = Math.max(DESCRIPTION, setting + settingWidth + 3)
  return levers.flatMap(([name, lever], place) => {
    const head = padded(place === 0 ? 'SET' : '', NAME)
    const said = [lever.pinned ? 'pinned' : '', lever.description ?? ''].filter(each => each !== '').join('; ')
    const first: Line = [piece(head + padded(name, nameWidth + 3)), piece(lever.text, 'strong')]
    if (said === '') return [first]
    if (width - description < LEAST) {
      return [first, ...wrap(said, width - NAME - 2).map(line => [piece(' '.repeat(NAME + 2)), piece(line, 'pencil')])]
    }
    const gap = ' '.repeat(Math.max(3, description - setting - widthOf(lever.text)))
    const [beside, ...below] = wrap(said, width - description)
    return [[...first, piece(gap), piece(beside!)], ...below.map(line => [piece(' '.repeat(description) + line)])]
  })
}

/** The settings in one line: "fuel fraction 94 %, throttle cap 53 %". */
export function settingWords(quantities: Answer['quantities']): string {
  return leversOf(quantities)
    .map(([name, lever]) => `${name} ${lever.text}`.replaceAll(' ', TIE))
    .join(', ')
}
