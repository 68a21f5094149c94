import { planFault } from './flight/index.ts'
import { planOf } from './flight-node.ts'
import type { State } from './network/index.ts'

/** Stand for inputs that a lever moves, in the node's order: a vehicle without fault. Body: radius, gravity, pressure, density, scale height, sound speed, top. */
const SOUND = [0, 1, 1, 1, 1, 1, 1, 0, 1e6, 1, 1, 1, 1, 1, 1]
const [VACUUM_THRUST, SEA_LEVEL_THRUST] = [3, 4]
const NO_DRAG = { knots: Float64Array.of(0), coefficients: Float64Array.of(0, 0, 0, 0) }

/**
 * What is wrong with the numbers of a flight, in words, or null. `facts`: judged by what no lever moves, after `state.refresh()`;
 * `point`: by the point last worked out.
 */
export function flightFault(state: State, flight: number, at: 'facts' | 'point'): string | null {
  const { flights, flightPlace, algebra, model } = state.program
  const { inputs } = flights[flightPlace[flight]!]!
  const known = (place: number): boolean => at === 'point' || inputs[place]! < algebra
  const thrusts = known(VACUUM_THRUST) && known(SEA_LEVEL_THRUST)
  const numbers = Float64Array.from(inputs, (slot, place) => {
    const thrust = place === VACUUM_THRUST || place === SEA_LEVEL_THRUST
    return known(place) && (!thrust || thrusts) ? state.values[slot]! : SOUND[place]!
  })
  return planFault(planOf(numbers, NO_DRAG, new Uint8Array(1), model.bodies[model.flights[flight]!.body]!))
}
