import { formatQuantity } from '../../grammar/units/choose.ts'
import { type Sensitivities, sensitivitiesAt } from '../../solver/index.ts'
import type { DecidingFact, JsonNumber } from '../answer.ts'
import { json, unitFor } from './answer-quantities.ts'
import type { Judged } from './answer-targets.ts'
import { differenceUnit } from './mend.ts'
import type { Meter } from './meter.ts'
import type { Session } from './session.ts'

/** An error of a fact that gives none: this share of it. */
const USUAL_ERROR = 0.01

/** How the targets move with levers and facts, worked out when first asked for. */
export interface Moves {
  readonly of: (target: number) => Readonly<Record<string, JsonNumber>>
  readonly deciding: () => DecidingFact | null
}

/** How the targets move at settings `x`, where they are worth `judged`. */
export function movesAt(session: Session, x: Float64Array, judged: readonly Judged[], meter: Meter): Moves {
  const { state, compiled } = session
  const { opened } = compiled.reading
  let known: Sensitivities | null = null
  const moves = (): Sensitivities => {
    known ??= meter.during(() => {
      const found = sensitivitiesAt(compiled.probes(), state, x)
      meter.add(found.work)
      return found
    })
    return known
  }
  return {
    of: target => {
      const { ids, values } = moves()
      return Object.fromEntries(ids.map((id, i) => [opened.info[id]!.name, json(values[target]![i]!)]))
    },
    deciding: () => (judged.length === 0 ? null : deciding(session, judged, moves())),
  }
}

/** The fact whose error (its own after ±, else 1 % of it) moves some must or should most, against the size of its limit. */
function deciding(
  session: Session,
  judged: readonly Judged[],
  { ids, rooms, values }: Sensitivities,
): DecidingFact | null {
  const { state, compiled } = session
  const { opened } = compiled.reading
  let best: { id: number; target: number; error: number; given: boolean; share: number; change: number } | null = null
  ids.forEach((id, i) => {
    if (opened.model.quantities[id]!.role !== 'fact') return
    const slot = compiled.errorSlots.get(id)
    const error = slot === undefined ? USUAL_ERROR * Math.abs(state.valueOf(id)) : state.values[slot]!
    judged.forEach(({ limits }, target) => {
      const level = state.program.targets[target]!.level
      const share = (Math.abs(rooms[target]![i]!) * error) / limits.scale
      if (level === 'could' || !(share > (best?.share ?? 0))) return
      const change = Math.abs(values[target]![i]! || rooms[target]![i]!) * error
      best = { id, target, error, given: slot !== undefined, share, change }
    })
  })
  // The closure hides the assignments from the compiler.
  const found = best as { id: number; target: number; error: number; given: boolean; change: number } | null
  if (!found || !Number.isFinite(found.change)) return null
  const { id, target, error, given, change } = found
  return {
    fact: opened.info[id]!.name,
    error,
    given,
    target: opened.targets[target]!.text,
    change,
    text: words(session, found),
  }
}

function words(
  { state, compiled }: Session,
  { id, target, error, given, change }: { id: number; target: number; error: number; given: boolean; change: number },
): string {
  const { opened } = compiled.reading
  const fact = opened.info[id]!
  const info = opened.targets[target]!
  const like = info.id === null ? null : opened.info[info.id]!
  const unit = unitFor(
    { dimension: info.dimension, unit: info.unit ?? like?.unit ?? null, figure: like?.figure ?? null },
    change,
  )
  const own = unitFor({ dimension: fact.dimension, unit: fact.unit, figure: null }, state.valueOf(id))
  const by = given ? `its ± ${formatQuantity(error, differenceUnit(own), 2)}` : '1 % of it'
  return `The fact that matters most is ${fact.name}: ${by} moves ${info.written.subject} by ${formatQuantity(change, differenceUnit(unit), 2)}.`
}
