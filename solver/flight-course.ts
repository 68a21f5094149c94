import { type FlightEvent, type FlightOutcome, type FlownName, HISTORY, history, whyNone } from './flight/index.ts'
import type { Plan } from './flight/plan.ts'
import { flightFault } from './flight-fault.ts'
import { CANNOT_FLY, planFlown } from './flight-node.ts'
import type { State } from './network/index.ts'

/** The course of a flight in time, SI: `rows` holds one number a column, times rising. */
export interface Course {
  readonly columns: readonly string[]
  readonly units: readonly string[]
  readonly rows: Float64Array
  readonly events: readonly FlightEvent[]
}

function planAt(state: State, flight: number): Plan {
  const { model } = state.program
  return planFlown(state.flownWith(flight), model.bodies[model.flights[flight]!.body]!)
}

/**
 * The course of flight f of the model at the point last worked out (tight). `space`: where space begins [m], null for the body's own.
 * A flight that could not be flown has no rows.
 */
export function flightCourse(state: State, flight: number, space: number | null): Course {
  const flies = state.outcome(flight) !== null && state.outcome(flight) !== CANNOT_FLY
  const plan = flies ? planAt(state, flight) : null
  const course = plan && (space === null ? history(plan) : history(plan, space))
  return {
    columns: HISTORY.map(column => column.name),
    units: HISTORY.map(column => column.unit),
    rows: course?.rows ?? new Float64Array(0),
    events: course?.events ?? [],
  }
}

/** Why a flight gives no value for one of its figures at the point last worked out, in words to follow "because". */
export function whyNoFigure(state: State, flight: number, output: string): string {
  const outcome = state.outcome(flight)
  if (outcome === null) return 'it was not flown'
  if (outcome === CANNOT_FLY) return flightFault(state, flight, 'point') ?? 'its numbers make no vehicle'
  const none = new Float64Array(0)
  return whyNone(output as FlownName, planAt(state, flight), {
    outcome: outcome as FlightOutcome,
    figures: none,
    slopes: none,
    evaluations: 0,
  })
}
