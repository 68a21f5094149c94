import { displayUnit, formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, type Unit } from '../../grammar/units/unit.ts'
import { type Reason, type State, whyNoFigure, whyNone } from '../../solver/index.ts'
import type { JsonNumber, QuantityAnswer } from '../answer.ts'
import { FIGURES } from './figures.ts'
import { unitOurs } from './kinds.ts'
import type { Info, Opened } from './opened.ts'
import type { Session } from './session.ts'

/** Figures shown of a quantity that stands near no limit. */
const DIGITS = 4

/** A number as JSON can hold it. */
export function json(value: number): JsonNumber {
  if (Number.isNaN(value)) return null
  if (Number.isFinite(value)) return value
  return value > 0 ? 'infinity' : '-infinity'
}

/** Every quantity of a sheet at the point last worked out, by name: the sheet's own in its order, then the flights' figures. */
export function quantityAnswers(session: Session): Record<string, QuantityAnswer> {
  const { shown } = session.compiled.reading.opened
  // From entries, so that a name like `__proto__` is a name like any other.
  return Object.fromEntries(
    shown.flatMap(({ id, names }) => {
      const answer = quantityAnswer(session, id)
      return names.map(name => [name, answer] as const)
    }),
  )
}

/** One quantity. How it is written is worked out when it is first looked at: a long sheet is answered within a frame. */
function quantityAnswer(session: Session, id: number): QuantityAnswer {
  const { state, compiled } = session
  const { opened } = compiled.reading
  const info = opened.info[id]!
  const { role } = opened.model.quantities[id]!
  const si = state.valueOf(id)
  const lever = role === 'lever' ? compiled.program.levers.indexOf(id) : -1
  const range = lever >= 0 ? session.ranges[lever]! : null
  const unit = (): Unit => info.lever?.written.unit ?? unitFor(info, si)
  return {
    role: role === 'flown' ? 'figure' : role,
    si: json(si),
    get value() {
      return json(fromSI(si, unit()))
    },
    get unit() {
      return unit().text
    },
    get text() {
      return range ? `${range.text(si)} ${unit().text}`.trim() : formatQuantity(si, unit(), DIGITS)
    },
    ...(Number.isNaN(si) ? { reason: reasonWords(state, id, opened) } : {}),
    ...(info.description === null ? {} : { description: info.description }),
    ...(lever >= 0 && !Number.isNaN(state.pinned(lever)) ? { pinned: true } : {}),
  }
}

const FIGURE_UNITS = new Map(FIGURES.map(figure => [figure.name, unitOurs(figure.unit)]))

/** The unit in which a quantity is shown: the sheet's wish, the trade's habit for a flight's figure, else by size. */
export function unitFor(info: Pick<Info, 'dimension' | 'unit' | 'figure'>, si: number): Unit {
  return displayUnit(info.dimension, si, info.unit ?? (info.figure ? FIGURE_UNITS.get(info.figure.name) : undefined))
}

/** Why a quantity has no value, in a sentence. */
export function reasonWords(state: State, id: number, opened: Opened): string {
  const reason = whyNone(state, id)
  return reason ? sentence(reason, state, opened, id) : 'it has no value here'
}

/** The reason in words; `id` is the quantity asked about, which is not named again. */
export function sentence(reason: Reason, state: State, opened: Opened, id: number | null = null): string {
  if (reason.kind === 'the flight has none') return whyNoFigure(state, reason.flight ?? 0, reason.output ?? '')
  const where = reason.id === null || reason.id === id ? '' : ` in "${opened.info[reason.id]!.name}"`
  return `${KINDS[reason.kind]}${where}`
}

const KINDS: Record<Exclude<Reason['kind'], 'the flight has none'>, string> = {
  'division by zero': 'a division by zero',
  'root of a negative number': 'the root of a negative number',
  'logarithm of zero or less': 'the logarithm of zero or less',
  'arc sine or cosine outside −1 to 1': 'an arc sine or cosine of a number outside −1 to 1',
  'power of a negative number': 'a broken power of a negative number',
  'power of zero': 'a negative power of zero',
  'infinite minus infinite': 'one infinite value taken from another',
  'too large': 'a number too large to work with',
  'infinite input': 'an infinite value where a finite one is needed',
  'no air there': 'there is no such air there',
  'not flown': 'it was not flown',
  'no value set': 'no value is set',
}
