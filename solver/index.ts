import { airAt, airSlope } from './flight/air.ts'
import { airTurns } from './flight/air-turns.ts'
import { bodyFault } from './flight/fault.ts'
import { bodyNumbersOf, flightNode } from './flight-node.ts'
import type { Model } from './model/model.ts'
import type { Parts } from './network/index.ts'

/** What compiling a model needs: its flights as nodes, and the air of its bodies. */
export function partsOf(model: Model): Parts {
  return {
    node: flight => flightNode(flight, model.bodies[flight.body]!),
    air: (body, numbers, property, altitude, out) => {
      const world = bodyNumbersOf(model.bodies[body]!, numbers)
      const none = bodyFault(world) !== null
      out[0] = none ? Number.NaN : airAt(world, property, altitude)
      out[1] = none ? Number.NaN : airSlope(world, property, altitude)
    },
    airTurns: (body, numbers, property) => {
      const world = bodyNumbersOf(model.bodies[body]!, numbers)
      return bodyFault(world) === null ? airTurns(world, property) : null
    },
  }
}

export type { ConflictSet, Explained, Mend, Widening } from './conflict/explain.ts'
export { explainConflict } from './explain-conflict.ts'
export { frontAt } from './explain-front.ts'
export { mapOf, mapSolving } from './explain-map.ts'
export { nextLimitOf, priceLimits } from './explain-prices.ts'
export { EARTH } from './flight/air.ts'
export { airTableFault } from './flight/air-table.ts'
export type { FlownName } from './flight/plan.ts'
export { impulseOf } from './flight/whole/index.ts'
export { type Course, type FigureReasons, figureReasons, flightCourse } from './flight-course.ts'
export { flightFault } from './flight-fault.ts'
export { CANNOT_FLY } from './flight-node.ts'
export { marginOf, metMargin } from './judge.ts'
export type { Front } from './map/front.ts'
export type { MapLine, TradeMap } from './map/map.ts'
export { type MapMemory, newMapMemory, rememberOf } from './map/memory.ts'
export { curveEnd, pchip } from './model/curve.ts'
export type { AirProperty, Curve, Expr, Id, Test, Unary } from './model/expr.ts'
export type {
  Aim,
  AirTable,
  BodyModel,
  BuiltInBody,
  CrewLimitModel,
  FlightModel,
  Level,
  Model,
  ParachuteModel,
  Quantity,
  Range,
  StageModel,
  Target,
} from './model/model.ts'
export { circleThrough, components, graphOf } from './network/components.ts'
export * from './network/index.ts'
export { type Limits, limitsAt, pose } from './pose.ts'
export { recorded } from './price/flown.ts'
export type { Looked, NextLimit } from './price/next-limit.ts'
export type { Prices } from './price/price.ts'
export { across } from './search/across.ts'
export type { Flown, SearchProblem, SearchResult } from './search/problem.ts'
export type { Watch } from './search/run.ts'
export { search } from './search/search.ts'
export { type Probe, probesOf, type Sensitivities, sensitivitiesAt } from './sensitivity.ts'
