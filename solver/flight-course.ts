import { type FlightOutcome, type FlownName, HISTORY, history, whyNone } from './flight/index.ts'
import { FLOWN } from './flight/plan.ts'
import { WHOLE_COLUMNS, type WholeEvent, wholeHistory, whyNoneWhole } from './flight/whole/index.ts'
import type { WholePlan } from './flight/whole/plan.ts'
import { flightFault } from './flight-fault.ts'
import { plainPlan } from './flight-layout.ts'
import { CANNOT_FLY, figureOf, layoutIn, planFlown } from './flight-node.ts'
import type { FlightModel } from './model/model.ts'
import type { State } from './network/index.ts'

/** The course of a flight in time, SI: `rows` holds one number a column, times rising. */
export interface Course {
  readonly columns: readonly string[]
  readonly units: readonly string[]
  readonly rows: Float64Array
  readonly events: readonly { readonly name: string; readonly time: number; readonly altitude: number }[]
}

/** What a whole flight's rows hold besides those of a straight ascent. */
const FARTHER = [
  { name: 'horizontal speed', unit: 'm/s' },
  { name: 'downrange', unit: 'm' },
] as const

function planAt(state: State, flight: number): WholePlan {
  return planFlown(state.flownWith(flight), layoutIn(state, flight))
}

/**
 * The course of flight f of the model at the point last worked out (tight), from ignition to its apoapsis where it is one stage straight up
 * and `extent` asks for no more, else to its end. `space`: where space begins [m], null for the body's own. A flight that could not be flown has no rows.
 */
export function flightCourse(
  state: State,
  flight: number,
  space: number | null,
  extent: 'ascent' | 'whole' = 'ascent',
): Course {
  const outcome = state.outcome(flight)
  const plan = outcome === null || outcome === CANNOT_FLY ? null : planAt(state, flight)
  const plain = plan && plainPlan(plan)
  const short = extent === 'ascent' || outcome === 'escapes' || outcome === 'never leaves the pad'
  if (plan && !(plain && short)) return wholeCourse(plan, state.program.model.flights[flight]!)
  const course = plain && (space === null ? history(plain) : history(plain, space))
  return {
    columns: HISTORY.map(column => column.name),
    units: HISTORY.map(column => column.unit),
    rows: course?.rows ?? new Float64Array(0),
    events: course?.events ?? [],
  }
}

function wholeCourse(plan: WholePlan, flight: FlightModel): Course {
  const { rows, events } = wholeHistory(plan)
  const columns = [...HISTORY, ...FARTHER]
  if (columns.length !== WHOLE_COLUMNS) throw new Error(`${columns.length} columns for rows of ${WHOLE_COLUMNS}`)
  return {
    columns: columns.map(column => column.name),
    units: columns.map(column => column.unit),
    rows,
    events: events.map(event => ({ name: eventName(event, flight), time: event.time, altitude: event.altitude })),
  }
}

const OF_STAGES: readonly string[] = ['ignition', 'burnout', 'drop', 'impact']
const OF_PARACHUTES: readonly string[] = ['opening', 'full canopy']

/** "burnout of booster" where the flight has stages of its own, "opening of main". */
function eventName({ name, part }: WholeEvent, { staged, stages, parachutes }: FlightModel): string {
  if (staged && stages.length > 1 && OF_STAGES.includes(name)) return `${name} of ${stages[part]!.name}`
  if (OF_PARACHUTES.includes(name)) return `${name} of ${parachutes![part]!.name}`
  return name
}

/** Tells why a flight gives no value for one of its figures, in words to follow "because". */
export type FigureReasons = (flight: number, output: string) => string

/** The reasons at the point last worked out: each flight is laid out once, whatever number of its figures is asked for. */
export function figureReasons(state: State): FigureReasons {
  const flights = new Map<number, (output: string) => string>()
  return (flight, output) => {
    const known = flights.get(flight) ?? reasonsOf(state, flight)
    flights.set(flight, known)
    return known(output)
  }
}

function reasonsOf(state: State, flight: number): (output: string) => string {
  const outcome = state.outcome(flight)
  if (outcome === null) return () => 'it was not flown'
  if (outcome === CANNOT_FLY) {
    const fault = flightFault(state, flight, 'point') ?? 'its numbers make no vehicle'
    return () => fault
  }
  const plan = planAt(state, flight)
  const plain = plainPlan(plan)
  const model = state.program.model.flights[flight]!
  const none = new Float64Array(0)
  return output => {
    const figure = figureOf(model, output)
    if (!plain || figure.of !== 'flight' || !FLOWN.includes(figure.name as FlownName))
      return whyNoneWhole(figure, plan, outcome)
    const flown = { outcome: outcome as FlightOutcome, figures: none, slopes: none, evaluations: 0 }
    return whyNone(output as FlownName, plain, flown)
  }
}
