import { displayUnit, formatQuantity } from '../../grammar/units/choose.ts'
import { asWritten, fromSI, type Unit } from '../../grammar/units/unit.ts'
import { type FigureReasons, figureReasons, type Reason, type State, whyNone } from '../../solver/index.ts'
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

/** The quantities of a session at one point: numbers only, kept apart from the state that goes on to other points. */
interface Taken {
  readonly session: Session
  readonly values: Float64Array
  /** Why those without a value have none, by their place among the shown. */
  readonly reasons: ReadonlyMap<number, string>
  /** Pinned levers. */
  readonly pinned: ReadonlySet<number>
}

/**
 * Every quantity of a sheet at the point last worked out, by name: the sheet's own in its order, then the flights' figures.
 * The numbers are taken now, the words made when first asked for: a long sheet that is dragged is answered within a frame.
 */
export function quantityAnswers(session: Session): () => Record<string, QuantityAnswer> {
  const { state, compiled } = session
  const { opened } = compiled.reading
  const { shownSlots } = compiled
  const values = new Float64Array(shownSlots.length)
  for (let place = 0; place < values.length; place++) values[place] = state.values[shownSlots[place]!]!
  const reasons = new Map<number, string>()
  const ofFlights = figureReasons(state)
  for (let place = 0; place < values.length; place++)
    if (Number.isNaN(values[place])) reasons.set(place, reasonWords(state, opened.shown[place]!.id, opened, ofFlights))
  const pinned = new Set(compiled.program.levers.filter((_, lever) => !Number.isNaN(state.pinned(lever))))
  let made: Record<string, QuantityAnswer> | null = null
  return () => {
    made ??= written({ session, values, reasons, pinned })
    return made
  }
}

function written(taken: Taken): Record<string, QuantityAnswer> {
  const { shown } = taken.session.compiled.reading.opened
  // From entries, so that a name like `__proto__` is a name like any other.
  return Object.fromEntries(
    shown.flatMap(({ names }, place) => {
      const answer = quantityAnswer(taken, place)
      return names.map(name => [name, answer] as const)
    }),
  )
}

function quantityAnswer({ session, values, reasons, pinned }: Taken, place: number): QuantityAnswer {
  const { opened } = session.compiled.reading
  const { id } = opened.shown[place]!
  const info = opened.info[id]!
  const { role } = opened.model.quantities[id]!
  const si = values[place]!
  const unit = info.lever?.written.unit ?? unitFor(info, si)
  const range = role === 'lever' ? session.ranges[session.compiled.program.levers.indexOf(id)]! : null
  const setting = range?.text(si)
  const reason = reasons.get(place)
  const error = session.compiled.errorSlots.get(id)
  return {
    role: role === 'flown' ? 'figure' : role,
    si: json(si),
    // A setting and a fact are the decimals they are written as, not what is left of them after a way through SI.
    value: json(setting !== undefined ? Number(setting) : role === 'fact' ? asWritten(si, unit) : fromSI(si, unit)),
    unit: unit.text,
    text: setting === undefined ? formatQuantity(si, unit, DIGITS) : `${setting} ${unit.text}`.trim(),
    ...(reason === undefined ? {} : { reason }),
    ...(info.description === null ? {} : { description: info.description }),
    ...(error === undefined ? {} : { error: session.state.values[error]! }),
    ...(pinned.has(id) ? { pinned: true } : {}),
  }
}

const FIGURE_UNITS = new Map(FIGURES.map(figure => [figure.name, figure.unit]))

/** The unit in which a quantity is shown: the sheet's wish, the trade's habit for a flight's figure, else by size. */
export function unitFor(info: Pick<Info, 'dimension' | 'unit' | 'figure'>, si: number): Unit {
  const usual = info.unit || !info.figure ? undefined : FIGURE_UNITS.get(info.figure.name)
  return displayUnit(info.dimension, si, info.unit ?? (usual === undefined ? undefined : unitOurs(usual)))
}

/** Why a quantity has no value, in a sentence. */
export function reasonWords(state: State, id: number, opened: Opened, ofFlights = figureReasons(state)): string {
  const reason = whyNone(state, id)
  return reason ? sentence(reason, state, opened, id, ofFlights) : 'it has no value here'
}

/** The reason in words; `id` is the quantity asked about, which is not named again. */
export function sentence(
  reason: Reason,
  state: State,
  opened: Opened,
  id: number | null = null,
  ofFlights: FigureReasons = figureReasons(state),
): string {
  if (reason.kind === 'the flight has none') return ofFlights(reason.flight ?? 0, reason.output ?? '')
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
  'no such body': 'no body has such numbers: its radius, gravity and air must be above zero',
  'not flown': 'it was not flown',
  'no value set': 'no value is set',
}
