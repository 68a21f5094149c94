import { formatQuantity } from '../../grammar/units/choose.ts'
import { padded, widthOf } from '../../grammar/width.ts'
import type { AimAnswer, Answer, QuantityAnswer, TargetAnswer } from '../answer.ts'
import type { Characters } from './characters.ts'
import { gauge } from './gauge.ts'
import { type Ink, type Line, piece, wrap } from './marked.ts'
import { asNumber } from './number.ts'
import { scaleOf } from './scale.ts'
import { type TargetState, targetWords, unitNamed } from './target-words.ts'

/** Stops of a row: the level, the name, the value with the scale under it, the words. */
export const NAME = 8
const VALUE = 34
const WORDS = 12
/** Narrower than this, the value and the scale go beneath the name. */
const BESIDE = 80
/** Words of a state are broken no narrower than this. */
const LEAST = 20

const INKS: Readonly<Record<TargetState, Ink>> = {
  met: 'plain',
  'at its limit': 'limit',
  short: 'short',
  'no value': 'short',
}

/** A target: level, name and value; then its limit and the margin scale. */
export function targetLines(
  target: TargetAnswer,
  quantities: Answer['quantities'],
  width: number,
  characters: Characters,
): readonly Line[] {
  const words = targetWords(target, quantities)
  const ink = INKS[words.state]
  const stop = width < BESIDE ? NAME : VALUE
  const scale = gauge(scaleOf(target, words.kind), width - stop, characters)
  return [
    ...beside(
      padded(target.level, NAME) + words.subject,
      valueLines(words.value, words.words, ink, ink, width - stop),
      stop,
    ),
    ...beside(' '.repeat(NAME) + words.limit, [scale], stop),
  ]
}

/** Words with lines at a stop beside them; beneath them where the words reach past the stop. */
function beside(words: string, rest: readonly Line[], stop: number): readonly Line[] {
  const indented = rest.map(line => [piece(' '.repeat(stop)), ...line])
  if (widthOf(words) + 1 > stop) return [[piece(words)], ...indented]
  return [[piece(padded(words, stop)), ...rest[0]!], ...indented.slice(1)]
}

/** An aim and what it came to; a sheet's `roomiest` has no value of its own. */
export function aimLines(aim: AimAnswer, quantities: Answer['quantities'], width: number): readonly Line[] {
  const subject = aim.text.replace(/^(least|most) /, '')
  const named = Object.hasOwn(quantities, subject) ? quantities[subject] : undefined
  const unit = aim.unit ?? named?.unit ?? ''
  const roomiest = aim.text === 'roomiest'
  const value = roomiest ? 'the most room to every limit' : formatQuantity(asNumber(aim.si), unitNamed(unit), 3)
  return rowLines('aim', aim.text, value, '', width)
}

/** A figure, its value and its description. */
export function figureLines(head: string, name: string, quantity: QuantityAnswer, width: number): readonly Line[] {
  const value = quantity.si === null ? 'no value' : quantity.text
  return rowLines(
    head,
    name,
    value,
    quantity.si === null ? (quantity.reason ?? '') : (quantity.description ?? ''),
    width,
  )
}

function rowLines(head: string, name: string, value: string, said: string, width: number): readonly Line[] {
  const words = padded(head, NAME) + name
  const stop = VALUE + Math.max(LEAST, widthOf(value)) > width ? NAME + 2 : VALUE
  return beside(words, valueLines(value, said, 'plain', 'pencil', width - stop), stop)
}

/** A value and words beside it, which go on below where they are long, and stand beneath where there is no room. */
function valueLines(value: string, said: string, ink: Ink, saidInk: Ink, width: number): readonly Line[] {
  if (said === '') return [[piece(value, ink)]]
  const stop = Math.max(WORDS, widthOf(value) + 2)
  if (width - stop < LEAST) return [[piece(value, ink)], ...wrap(said, width).map(line => [piece(line, saidInk)])]
  return wrap(said, width - stop).map((line, place) => [
    piece(padded(place === 0 ? value : '', stop), ink),
    piece(line, saidInk),
  ])
}
