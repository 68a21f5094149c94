import { formatQuantity } from '../../grammar/units/choose.ts'
import type { AimAnswer, Answer, QuantityAnswer, TargetAnswer } from '../answer.ts'
import type { Characters } from './characters.ts'
import { gauge } from './gauge.ts'
import { columns, fill, type Ink, type Line, piece } from './marked.ts'
import { asNumber } from './number.ts'
import { scaleOf } from './scale.ts'
import { type TargetState, targetWords, unitNamed } from './target-words.ts'

/** Stops of a row: the level, the name, the value with the scale under it, the words. */
export const NAME = 8
const VALUE = 34
const WORDS = 12
/** Narrower than this, the value and the scale go beneath the name. */
const BESIDE = 80

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
  const value = [piece(fill(words.value, Math.max(WORDS, columns(words.value) + 2)), ink), piece(words.words, ink)]
  const scale = gauge(scaleOf(target, words.kind), width - stop, characters)
  return [
    ...beside(fill(target.level, NAME) + words.subject, value, stop),
    ...beside(' '.repeat(NAME) + words.limit, scale, stop),
  ]
}

/** Words with something at a stop beside them; on the next line where the words reach past the stop. */
function beside(words: string, rest: Line, stop: number): readonly Line[] {
  if (columns(words) + 1 <= stop) return [[piece(fill(words, stop)), ...rest]]
  return [[piece(words)], [piece(' '.repeat(stop)), ...rest]]
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
  const words = fill(head, NAME) + name
  const stop = width < BESIDE && columns(words) + 3 + columns(value) > width ? NAME + 2 : Math.min(VALUE, width - 20)
  const rest = said !== '' && stop + Math.max(WORDS, columns(value) + 3) + columns(said) <= width ? said : ''
  return beside(
    words,
    [piece(rest === '' ? value : fill(value, Math.max(WORDS, columns(value) + 3))), piece(rest, 'pencil')],
    stop,
  )
}
