import { displayUnit, formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, type Unit } from '../../grammar/units/unit.ts'
import { type Reason, type State, whyNoFigure, whyNone } from '../../solver/index.ts'
import type { JsonNumber, QuantityAnswer } from '../answer.ts'
import { figureNamed } from './figures.ts'
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
  const { opened } = session.compiled.reading
  const answers = new Map<string, QuantityAnswer>()
  for (const id of shownInOrder(opened)) {
    const info = opened.info[id]!
    const answer = quantityAnswer(session, id)
    const bare = info.figure?.name
    if (bare !== undefined && opened.ids.get(bare) === id) answers.set(bare, answer)
    answers.set(info.name, answer)
  }
  return recordOf(answers)
}

/** A record that takes any name as it is, `__proto__` too. */
export function recordOf<T>(entries: Iterable<readonly [string, T]>): Record<string, T> {
  return Object.fromEntries(entries)
}

/** The places of the quantities that are shown: those declared in the order of the lines, then flights' figures. */
export function shownInOrder(opened: Opened): readonly number[] {
  const shown = [...opened.info.keys()].filter(id => !opened.info[id]!.hidden)
  const own = shown.filter(id => !opened.info[id]!.figure)
  own.sort((a, b) => opened.info[a]!.span.line - opened.info[b]!.span.line)
  const flown = shown.filter(id => opened.info[id]!.figure)
  flown.sort((a, b) => opened.info[a]!.figure!.flight - opened.info[b]!.figure!.flight)
  return [...own, ...flown]
}

function quantityAnswer(session: Session, id: number): QuantityAnswer {
  const { state, compiled } = session
  const info = compiled.reading.opened.info[id]!
  const role = compiled.reading.opened.model.quantities[id]!.role
  const si = state.valueOf(id)
  const lever = compiled.program.levers.indexOf(id)
  const unit = lever >= 0 ? info.lever!.written.unit : unitFor(info, si)
  const text = lever >= 0 ? `${session.ranges[lever]!.text(si)} ${unit.text}`.trim() : formatQuantity(si, unit, DIGITS)
  return {
    role: role === 'flown' ? 'figure' : role,
    si: json(si),
    value: json(fromSI(si, unit)),
    unit: unit.text,
    text,
    ...(Number.isNaN(si) ? { reason: reasonWords(state, id, compiled.reading.opened) } : {}),
    ...(info.description === null ? {} : { description: info.description }),
    ...(lever >= 0 && !Number.isNaN(state.pinned(lever)) ? { pinned: true } : {}),
  }
}

/** The unit in which a quantity is shown: the sheet's wish, the trade's habit for a flight's figure, else by size. */
export function unitFor(info: Pick<Info, 'dimension' | 'unit' | 'figure'>, si: number): Unit {
  const wish = info.unit ?? (info.figure ? unitOurs(figureNamed(info.figure.name)!.unit) : undefined)
  return displayUnit(info.dimension, si, wish ?? undefined)
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
