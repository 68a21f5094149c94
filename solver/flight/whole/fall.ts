import type { Dropped } from './log.ts'
import type { WholeDirection, WholePlan } from './plan.ts'
import { MASS, SIZE } from './point.ts'
import { carry } from './staging.ts'
import { Voyage } from './voyage.ts'

/** First trial step of a fall [s]. */
const FIRST_STEP = 1

/** Figures of a dropped stage's own fall. */
const FALL = ['downrange', 'flight time', 'touchdown speed'] as const

/** Empty stages below the first motor fall off at its ignition, where they stand: they fall for no time and land at no speed. */
export function leaveOnPad({ schedule, ledger }: Voyage): void {
  const first = schedule.burns[0]?.stage ?? 0
  for (let stage = 0; stage < first; stage++) for (const name of FALL) ledger.putStage(stage, name, 0, () => 0)
}

/** Follows a dropped stage to the ground, empty and by its own drag, and puts where and when it lands among the flight's figures. */
export function fallAlone(flight: Voyage, dropped: Dropped, limit: number): void {
  const { stage } = dropped
  const plan = alone(flight.plan, stage)
  const directions = flight.directions.map(direction => lone(direction, stage))
  const fall = new Voyage(plan, directions, flight.care.tolerance, true, null, flight.care)
  const { craft, from } = fall
  carry(fall, 0)
  craft.hold = flight.craft.hold
  // A guided flight leans though its rail does not.
  craft.vertical = flight.craft.vertical
  from.time = dropped.time
  for (let k = 0; k < SIZE; k++) from.state[k] = dropped.state[k]!
  from.state[MASS] = plan.stages[0]!.dryMass
  fall.begin(FIRST_STEP)
  craft.lanes.forEach((lane, l) => {
    const { state, event } = dropped.lanes[l]!
    fall.holdSlopes[l] = flight.holdSlopes[l]!
    lane.event = event
    for (let k = 0; k < SIZE; k++) lane.state[k] = state[k]! - from.rates[k]! * event
    lane.state[MASS] = directions[l]!.stages[0]!.dryMass
  })
  fall.arrange()
  fall.goOn(limit)
  flight.craft.evaluations += craft.evaluations
  for (const name of FALL)
    flight.ledger.putStage(stage, name, fall.ledger.at(name), lane => fall.ledger.slopeAt(name, lane))
}

/** The flight of one empty stage. */
function alone(plan: WholePlan, stage: number): WholePlan {
  return {
    ...plan,
    noseRadius: Number.NaN,
    pitch: null,
    crewLimit: null,
    entryCrewLimit: null,
    canopies: [],
    shapes: [null],
    stages: [{ ...plan.stages[stage]!, propellantMass: 0 }],
    restarts: [plan.restarts[stage]!],
  }
}

function lone(direction: WholeDirection, stage: number): WholeDirection {
  return { ...direction, canopies: [], stages: [{ ...direction.stages[stage]!, propellantMass: 0 }] }
}
