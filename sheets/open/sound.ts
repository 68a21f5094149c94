import { error, type Problem, warning } from '../../grammar/source.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { flightFault, leversAt, type State, whyNone } from '../../solver/index.ts'
import { sentence, unitFor } from './answer-quantities.ts'
import { bodyProblems } from './body-problems.ts'
import { WHOLE } from './flight-motor.ts'
import type { Session } from './session.ts'

/** What can only be said once the numbers are known: values that are none, bands upside down, equalities that no step can meet. */
export function numberProblems(session: Session): readonly Problem[] {
  const bodies = bodyProblems(session)
  const faulty = new Set(bodies.map(({ place }) => place))
  return [
    ...valueProblems(session),
    ...bodies.map(({ place: _, ...problem }): Problem => problem),
    ...countProblems(session),
    ...flightProblems(session, faulty),
    ...bandProblems(session),
    ...equalityProblems(session),
  ]
}

/** A fact, or a figure that no lever moves, without a finite number. */
function valueProblems({ state, compiled }: Session): Problem[] {
  const { opened } = compiled.reading
  const problems: Problem[] = []
  const { slots } = state.program
  for (const id of compiled.givenIds) {
    if (Number.isFinite(state.values[slots[id]!]!)) continue
    const info = opened.info[id]!
    const reason = whyNone(state, id)
    // Told once, where it arises.
    if (reason && reason.id !== null && reason.id !== id && !opened.info[reason.id]!.hangs) continue
    problems.push(
      error(
        info.span,
        `"${info.name}" has no finite value: ${reason ? sentence(reason, state, opened, id) : 'it is too large to work with'}.`,
        'Look at the values it is worked out from.',
      ),
    )
  }
  return problems
}

/** Flights whose known numbers make no vehicle, whatever the levers; what is wrong with a body is told at the body. */
function flightProblems({ state, compiled }: Session, faultyBodies: ReadonlySet<number>): Problem[] {
  const { opened } = compiled.reading
  return opened.model.flights.flatMap((flight, f) => {
    if (faultyBodies.has(flight.body)) return []
    const fault = flightFault(state, f, 'facts')
    const span = opened.info[opened.ids.get(`liftoff mass of ${flight.name}`)!]!.span
    return fault === null
      ? []
      : [error(span, `The flight "${flight.name}" cannot be flown: ${fault}.`, 'Look at the numbers that it is given.')]
  })
}

/** Counts of motors that are worked out: a number that is not whole, or levers that may come between whole ones. */
function countProblems({ state, compiled, ranges }: Session): Problem[] {
  const { program } = state
  const { counts, model } = compiled.reading.opened
  return counts.flatMap(({ count, span }, place) => {
    const slot = compiled.countSlots[place]!
    if (slot < program.algebra) {
      const value = state.values[slot]!
      if (!Number.isFinite(value) || isWhole(value)) return []
      return [
        error(
          span,
          `The count is of whole motors, 1 or more; here it comes to ${Number(value.toPrecision(9))}.`,
          WHOLE,
        ),
      ]
    }
    const id = count.op === 'ref' && model.quantities[count.id]!.role === 'lever' ? count.id : null
    if (id === null)
      return [
        error(
          span,
          'This count of motors is worked out from levers, and could come between whole numbers.',
          'Write a lever that counts the motors in steps of 1, and give its name here.',
        ),
      ]
    const lever = program.levers.indexOf(id)
    const pinned = state.pinned(lever)
    const range = ranges[lever]
    const settings = Number.isNaN(pinned) ? range?.range.settings : Float64Array.of(pinned)
    if (!range || settings?.every(isWhole)) return []
    const words = 'The count is of whole motors, 1 or more, but this lever also has other settings.'
    return [error(span, words, 'Let the lever go from 1 or more to a whole number in steps of 1.')]
  })
}

/** 1, 2, 3 … as far as decimals that are worked out tell. */
function isWhole(value: number): boolean {
  const near = Math.round(value)
  return near >= 1 && Math.abs(value - near) <= 1e-9 * near
}

function bandProblems({ state, compiled }: Session): Problem[] {
  const { opened } = compiled.reading
  const { program } = state
  return program.targets.flatMap((slots, t) => {
    const fixed = slots.kind === 'within' && slots.low < program.algebra && slots.high < program.algebra
    const [low, high] = fixed ? [state.values[slots.low]!, state.values[slots.high]!] : [0, 1]
    if (low < high || Number.isNaN(low) || Number.isNaN(high)) return []
    const words =
      low === high
        ? 'This band has no width: both ends are the same.'
        : 'This band is upside down: its first end lies above its second.'
    return [
      error(
        opened.targets[t]!.span,
        words,
        low === high ? 'Write "equal to" with a tolerance, or widen the band.' : 'Swap the two ends.',
      ),
    ]
  })
}

/** `must equal to` without ± on what only stepped levers move: no step would ever hit it but by luck. */
function equalityProblems({ state, compiled, ranges }: Session): Problem[] {
  const { opened } = compiled.reading
  const { program } = state
  return program.targets.flatMap((slots, t) => {
    if (slots.level !== 'must' || slots.kind !== 'equal to') return []
    const levers = [...new Set([...leversAt(program, slots.value), ...leversAt(program, slots.low)])]
    if (levers.length === 0 || levers.some(lever => ranges[lever]?.range.settings === null)) return []
    return [
      error(
        opened.targets[t]!.span,
        'Only levers with steps move this, so it cannot be met exactly.',
        'Give a tolerance: write "± 0.5 %" after the value, for example.',
      ),
    ]
  })
}

/** Tables read outside their rows at the point last worked out: the end value was held. */
export function tableWarnings({ state, compiled }: Session): readonly Problem[] {
  const { opened } = compiled.reading
  const said = new Set<string>()
  return opened.tables.flatMap((use, place) => {
    const { knots } = use.table.curve
    const [first, last] = [knots[0]!, knots[knots.length - 1]!]
    const reached =
      use.flight === null
        ? argumentOf(state, compiled.tableSlots[place]!)
        : machSpan(state, opened.ids, opened.model.flights[use.flight]!.name)
    if (!reached || (reached[0] >= first && reached[1] <= last)) return []
    const at = reached[1] > last ? reached[1] : reached[0]
    const unit = unitFor({ dimension: use.table.argument, unit: null, figure: null }, at)
    const words = `The table "${use.table.name}" is read at ${formatQuantity(at, unit, 4)}, outside its rows (${formatQuantity(first, unit, 4)} to ${formatQuantity(last, unit, 4)}); its end value is held there.`
    if (said.has(words)) return []
    said.add(words)
    return [warning(use.span, words, 'Add rows to the table, or mind that the number is a guess.')]
  })
}

function argumentOf(state: State, slot: number): readonly [number, number] | null {
  const value = slot === -1 ? Number.NaN : state.values[slot]!
  return Number.isNaN(value) ? null : [value, value]
}

/** A flight runs through every mach number from rest to its largest. */
function machSpan(state: State, ids: ReadonlyMap<string, number>, flight: string): readonly [number, number] | null {
  const id = ids.get(`max mach of ${flight}`)
  const most = id === undefined ? Number.NaN : state.valueOf(id)
  return Number.isNaN(most) ? null : [0, most]
}
