import { COLUMN_UNITS, COLUMNS, type FlightEvent, history } from './flight/history.ts'
import { planFlown } from './flight-node.ts'
import type { State } from './network/index.ts'

/** The course of a flight in time, SI: `rows` holds one number a column, times rising. */
export interface Course {
  readonly columns: readonly string[]
  readonly units: readonly string[]
  readonly rows: Float64Array
  readonly events: readonly FlightEvent[]
}

/**
 * The course of flight f of the model at the point last worked out (tight). `space`: where space begins [m], null for the body's own.
 * A flight that could not be flown has no rows.
 */
export function flightCourse(state: State, flight: number, space: number | null): Course {
  const { model } = state.program
  const plan = planFlown(state.flownWith(flight), model.bodies[model.flights[flight]!.body]!)
  const { rows, events } = space === null ? history(plan) : history(plan, space)
  return { columns: COLUMNS, units: COLUMN_UNITS, rows, events }
}
