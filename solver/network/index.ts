export { compile } from './compile.ts'
export { constantCurve, fitCurve, LAST_ARGUMENT } from './curve.ts'
export type { Equality, Overdetermined } from './equalities.ts'
export { type Foresight, foresee, type Verdict } from './foresee.ts'
export type { Intervals } from './forward.ts'
export { type Arrangement, arrange, type Circle, factsOf, factsOfTargets, leversOf } from './graph.ts'
export { lateIsSound } from './late.ts'
export { type LinearAnswer, linearThroughout, solveLevels } from './levels.ts'
export { draggable, type LinearForm, type LinearPart, type LinearTarget, linearPart } from './linear-part.ts'
export { type Narrowed, narrow, type Request as NarrowRequest } from './narrow.ts'
export type {
  Accuracy,
  Air,
  Extent,
  FittedCurve,
  FlightContext,
  FlightNode,
  FlightOutput,
  FlightReport,
  LocalFunction,
  NodeFactory,
  Parts,
} from './node.ts'
export { BODY_SLOTS } from './node.ts'
export {
  type AimSlots,
  type FlightCode,
  leversAt,
  needsFlight,
  outputAt,
  outputSlot,
  type Program,
  slotsOf,
  type TargetSlots,
} from './program.ts'
export { type Proof, prove } from './prove.ts'
export { type Request, type State, start } from './state.ts'
export type { Slot } from './tape.ts'
export { unevenSlots } from './uneven.ts'
export { type Reason, whyNone, whySlot } from './why.ts'
