export { airAt, airSlope, EARTH } from './air.ts'
export { planFault } from './fault.ts'
export { fly } from './fly.ts'
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
