import { wholePlanOf } from './flight-layout.ts'
import { faultOf, layoutIn } from './flight-node.ts'
import type { State } from './network/index.ts'

const NO_DRAG = { knots: Float64Array.of(0), coefficients: Float64Array.of(0, 0, 0, 0) }
/** Places of the two thrusts among a stage's inputs: they are judged against one another. */
const [VACUUM_THRUST, SEA_LEVEL_THRUST] = [2, 3]

/**
 * What is wrong with the numbers of a flight, in words, or null. `facts`: judged by what no lever moves, after `state.refresh()`;
 * `point`: by the point last worked out.
 */
export function flightFault(state: State, flight: number, at: 'facts' | 'point'): string | null {
  const { flights, flightPlace, algebra, model } = state.program
  const { inputs } = flights[flightPlace[flight]!]!
  const { stages } = model.flights[flight]!
  const layout = layoutIn(state, flight)
  const known = (place: number): boolean => at === 'point' || inputs[place]! < algebra
  const pairs = layout.stages.map(first => [first + VACUUM_THRUST, first + SEA_LEVEL_THRUST])
  const numbers = Float64Array.from(inputs, (slot, place) => {
    const pair = pairs.find(places => places.includes(place))
    const judged = pair ? pair.every(known) : known(place)
    return judged ? state.values[slot]! : layout.sound[place]!
  })
  return faultOf(
    layout,
    wholePlanOf(
      layout,
      numbers,
      stages.map(() => NO_DRAG),
      stages.map(() => new Uint8Array(1)),
    ),
  )
}
