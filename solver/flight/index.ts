export { airAt, airSlope, EARTH } from './air.ts'
export type { FlightEvent, FlightEventName } from './course.ts'
export { planFault } from './fault.ts'
export { fly } from './fly.ts'
export { HISTORY, type History, history, spaceBoundary } from './history.ts'
export { leavesPad } from './pad.ts'
export type {
  Accuracy,
  BodyNumbers,
  Direction,
  ExponentialAir,
  FlightOutcome,
  Flown,
  FlownName,
  Plan,
  StageNumbers,
} from './plan.ts'
export { FLOWN } from './plan.ts'
export { whyNone } from './why.ts'
