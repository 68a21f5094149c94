import { EARTH } from './flight/air.ts'
import { fly, leavesPad, planFault } from './flight/index.ts'
import { type BodyNumbers, type Direction, FLOWN, type FlownName, type Plan, type StageNumbers } from './flight/plan.ts'
import type { Curve, Expr } from './model/expr.ts'
import type { BodyModel, FlightModel, StageModel } from './model/model.ts'
import type { FittedCurve, FlightContext, FlightNode, FlightReport } from './network/node.ts'

/** The outcome of a flight whose numbers make no vehicle (a mass below zero); its figures have no value. */
export const CANNOT_FLY = 'cannot be flown'

const NUMBERS = [
  'dryMass',
  'propellantMass',
  'vacuumThrust',
  'seaLevelThrust',
  'exhaustSpeed',
  'throttleCap',
  'referenceArea',
] as const
/** Launch altitude, the stage's numbers, then the body's, where it is the sheet's own. */
const FIRST_STAGE = 1
const FIRST_BODY = FIRST_STAGE + NUMBERS.length

/** The least that a figure can be whatever the flight; the greatest is unknown but for those that are always zero. */
const LEAST: Partial<Record<FlownName, number>> = {
  'peak g': 0,
  'max q': 0,
  'max speed': 0,
  'max mach': 0,
  'apoapsis time': 0,
  'peak g burning': 0,
  'peak g coasting': 0,
  'max q burning': 0,
  'max q coasting': 0,
}

const OUTPUTS = FLOWN.map(name => ({
  name,
  low: name === 'apoapsis speed' ? 0 : (LEAST[name] ?? Number.NEGATIVE_INFINITY),
  high: name === 'apoapsis speed' ? 0 : Number.POSITIVE_INFINITY,
}))

/** Offers a flight to the network: its inputs as expressions, its run as a plan flown with the lanes asked for. */
export function flightNode(flight: FlightModel, body: BodyModel): FlightNode {
  const stage = flight.stages[0]!
  const slots = bodySlots(body)
  return {
    inputs: [flight.launchAltitude, ...NUMBERS.map(name => stage[name]), ...slots],
    functions: [dragFunction(stage)],
    outputs: OUTPUTS,
    rigid: slots.map((_, index) => FIRST_BODY + index),
    run: context => run(context, body),
    lifts: inputs => lifts(inputs, body),
  }
}

function dragFunction(stage: StageModel): { body: Expr; breaks: readonly number[] } {
  return { body: stage.dragCoefficient, breaks: stage.dragBreaks }
}

/** The numbers of the sheet's own body: without air only the first two. An air that tells no sound speed has one of zero. */
function bodySlots(body: BodyModel): readonly Expr[] {
  if (body.kind === 'earth') return []
  const { radius, gravity, air } = body
  if (!air) return [radius, gravity]
  const silent: Expr = { op: 'const', value: 0 }
  return [radius, gravity, air.pressure, air.density, air.scaleHeight, air.soundSpeed ?? silent, air.top]
}

/** The plan that a node's inputs describe. */
export function planOf(inputs: Float64Array, drag: Curve, real: Uint8Array, body: BodyModel): Plan {
  return {
    body: bodyNumbers(inputs, body),
    launchAltitude: inputs[0]!,
    stages: [stageNumbers(inputs, drag)],
    restarts: real,
  }
}

function stageNumbers(inputs: Float64Array, drag: Curve): StageNumbers {
  const at = (index: number): number => inputs[FIRST_STAGE + index]!
  return {
    dryMass: at(0),
    propellantMass: at(1),
    vacuumThrust: at(2),
    seaLevelThrust: at(3),
    exhaustSpeed: at(4),
    throttleCap: at(5),
    referenceArea: at(6),
    drag,
  }
}

function bodyNumbers(inputs: Float64Array, body: BodyModel): Plan['body'] {
  return body.kind === 'earth' ? EARTH : bodyNumbersOf(inputs.subarray(FIRST_BODY))
}

/** A body from its numbers in the order of BODY_SLOTS; without a pressure (none, or NaN) it has no air, without a sound speed (0, or NaN) no mach. */
export function bodyNumbersOf(numbers: Float64Array): BodyNumbers {
  const at = (place: number): number => numbers[place] ?? Number.NaN
  const [radius, gravity, pressure] = [at(0), at(1), at(2)]
  if (Number.isNaN(pressure)) return { radius, gravity, air: null }
  const soundSpeed = at(5) === 0 ? Number.NaN : at(5)
  return {
    radius,
    gravity,
    air: { kind: 'exponential', pressure, density: at(3), scaleHeight: at(4), soundSpeed, top: at(6) },
  }
}

function run(context: FlightContext, body: BodyModel): FlightReport {
  const { inputs, inputSlopes, lanes, accuracy } = context
  const fitted = context.curves[0]!
  const plan = planFlown(context, body)
  const { knots } = plan.stages[0]!.drag
  if (planFault(plan) !== null) {
    context.outputs.fill(Number.NaN)
    context.outputSlopes.fill(Number.NaN)
    return { outcome: CANNOT_FLY, work: 0 }
  }
  const directions: Direction[] = []
  for (let lane = 0; lane < lanes; lane++) {
    const slopes = Float64Array.from(inputs, (_, input) => inputSlopes[input * lanes + lane]!)
    directions.push({
      launchAltitude: slopes[0]!,
      stages: [stageNumbers(slopes, { knots, coefficients: fitted.slopes[lane]! })],
    })
  }
  const flown = fly(plan, directions, accuracy)
  context.outputs.set(flown.figures)
  context.outputSlopes.set(flown.slopes)
  return { outcome: flown.outcome, work: flown.evaluations * (1 + LANE_COST * lanes) }
}

/** What a lane of derivatives adds to a flight's cost, timed (see DEVELOPERS.md, "Where the time goes"). */
const LANE_COST = 0.45

/** No flight reaches this mach number. */
const BEYOND = 1e6

/** The knots of a fitted curve with an end for its last piece, which else would be cut off where a jump stands at its knot. */
function endless({ knots }: FittedCurve): Float64Array {
  if (knots.length < 2) return knots
  const closed = new Float64Array(knots.length + 1)
  closed.set(knots)
  closed[knots.length] = BEYOND
  return closed
}

/** The plan that a flight was last flown by, as a state keeps it (`state.flownWith`). */
export function planFlown({ inputs, curves }: Pick<FlightContext, 'inputs' | 'curves'>, body: BodyModel): Plan {
  const fitted = curves[0]!
  return planOf(inputs, { knots: endless(fitted), coefficients: fitted.coefficients }, fitted.real, body)
}

/** Whether thrust passes weight before the propellant is spent on the pad. */
function lifts(inputs: Float64Array, body: BodyModel): boolean {
  const stage = stageNumbers(inputs, NO_DRAG)
  const plan: Plan = {
    body: bodyNumbers(inputs, body),
    launchAltitude: inputs[0]!,
    stages: [stage],
    restarts: NO_RESTART,
  }
  return leavesPad(plan)
}

const NO_DRAG: Curve = { knots: Float64Array.of(0), coefficients: Float64Array.of(0, 0, 0, 0) }
const NO_RESTART = new Uint8Array(1)
