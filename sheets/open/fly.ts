import { error, OUTSIDE, type Problem } from '../../grammar/source.ts'
import { figureReasons, flightCourse } from '../../solver/index.ts'
import type { FlightAnswer, JsonNumber } from '../answer.ts'
import { json, reasonWords } from './answer-quantities.ts'
import type { Compiled } from './compiled.ts'
import { find } from './find.ts'
import type { Opened } from './opened.ts'
import { didYouMean } from './scope.ts'
import type { Session } from './session.ts'
import type { Settings } from './setting.ts'
import { soundSession } from './solve.ts'

/** Figures and course of one flight; levers that are not set are solved first. `compiled` is null for a sheet with errors. */
export function flightAnswer(
  compiled: Compiled | null,
  opened: Opened,
  set: Settings,
  name: string | null,
): FlightAnswer {
  if (!compiled) return nothing('faulty', opened.problems)
  const { session, problems, wrong } = soundSession(compiled, set)
  if (wrong) return nothing('faulty', problems)
  const flight = chosen(opened, name)
  if (typeof flight !== 'number') return nothing('faulty', [...problems, flight])
  const { state } = session
  let x: Float64Array | null = new Float64Array(0)
  if (state.free.length > 0) {
    const { result } = find(session)
    if (result.outcome !== 'solved') return nothing(result.outcome, problems)
    x = result.x!
  }
  state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'all' })
  return course(session, flight, problems)
}

function nothing(outcome: string, problems: readonly Problem[]): FlightAnswer {
  return { outcome, problems, figures: {}, events: [], history: { columns: [], units: [], rows: [] } }
}

/** The place of the flight asked for, or what is wrong with the asking. */
function chosen(opened: Opened, name: string | null): number | Problem {
  const names = opened.model.flights.map(flight => flight.name)
  if (names.length === 0)
    return error(OUTSIDE, 'This sheet has no flight to fly.', 'Add a line such as "flight hop from Earth".')
  if (name === null) {
    if (names.length === 1) return 0
    return error(
      OUTSIDE,
      'This sheet has several flights; say which one.',
      `Choose with --flight: ${names.join(', ')}.`,
    )
  }
  const place = names.indexOf(name.normalize('NFC'))
  return place >= 0
    ? place
    : error(OUTSIDE, `No flight is called "${name}".`, didYouMean(name, names) ?? `There is ${names.join(', ')}.`)
}

function course({ state, compiled }: Session, flight: number, problems: readonly Problem[]): FlightAnswer {
  const { opened, space } = { opened: compiled.reading.opened, space: compiled.spaceSlots[flight]! }
  const { columns, units, rows, events } = flightCourse(
    state,
    flight,
    space === -1 ? null : state.values[space]!,
    'whole',
  )
  const width = columns.length
  const own = [...opened.info.keys()].filter(
    id => opened.info[id]!.figure?.flight === flight && !opened.info[id]!.hidden,
  )
  const named = <T>(of: (id: number) => T): Record<string, T> => {
    const values = own.map(id => [opened.info[id]!, of(id)] as const)
    return Object.fromEntries([
      ...values.map(([{ figure }, value]) => [figure!.name, value] as const),
      ...values.map(([{ name }, value]) => [name, value] as const),
    ])
  }
  const figures = named((id): JsonNumber => json(state.valueOf(id)))
  const ofFlights = figureReasons(state)
  const reasons = named(id => (Number.isNaN(state.valueOf(id)) ? reasonWords(state, id, opened, ofFlights) : null))
  return {
    outcome: state.outcome(flight) ?? 'could not be flown',
    problems,
    figures,
    reasons: Object.fromEntries(Object.entries(reasons).filter((each): each is [string, string] => each[1] !== null)),
    events,
    history: {
      columns,
      units,
      rows: Array.from({ length: rows.length / width }, (_, row) => rows.subarray(row * width, (row + 1) * width)),
    },
  }
}
