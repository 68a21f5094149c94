import { vary } from './changes.ts'
import { MASS } from './point.ts'
import type { Way } from './way.ts'

/** Change of a component of the state at an event, by lane: the moment moves by `lane.event`. */
export function total({ craft, from }: Way, component: number): (lane: number) => number {
  return l => craft.lanes[l]!.state[component]! + from.rates[component]! * craft.lanes[l]!.event
}

/** Change of the speed along the motion at an event. */
export function totalSpeed({ craft, from }: Way): (lane: number) => number {
  return l => {
    const lane = craft.lanes[l]!
    vary(craft, from, lane, l)
    return craft.change.speed + from.speedRate * lane.event
  }
}

/** Time from ignition. */
export function now({ craft, from }: Way): number {
  return from.time + craft.hold
}

/** Its change at an event. */
export function totalTime({ craft, holdSlopes }: Way): (lane: number) => number {
  return l => craft.lanes[l]!.event + holdSlopes[l]!
}

/** Change of thrust over weight at a burnout, which has the ratio so, over the mass of all that is left then. */
export function totalRatio(way: Way, ratio: number, weight: number, empty: Float64Array): (lane: number) => number {
  const { craft, from, plan } = way
  return l => {
    const lane = craft.lanes[l]!
    vary(craft, from, lane, l)
    const push = craft.change.push + from.pushRate * lane.event
    const mass = lane.state[MASS]! + from.rates[MASS]! * lane.event
    const change = push * from.state[MASS]! + from.push * mass
    return (change - ratio * empty[l]! * plan.body.gravity) / weight
  }
}
