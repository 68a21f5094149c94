import { fly } from './flight/index.ts'
import { FLOWN, type FlownName, type Plan } from './flight/plan.ts'
import {
  type FigureName,
  figureNames,
  flyStack,
  flyWhole,
  isLate,
  isOfFlight,
  isStack,
  leavesPadWhole,
  STACK_FIGURES,
  wholeFault,
} from './flight/whole/index.ts'
import type { WholeDirection, WholePlan } from './flight/whole/plan.ts'
import {
  bestPadRatio,
  CANOPY_LEAST,
  type Layout,
  layoutOf,
  numbersOf,
  plainPlan,
  wholePlanOf,
} from './flight-layout.ts'
import type { Curve, Expr } from './model/expr.ts'
import type { BodyModel, FlightModel, StageModel } from './model/model.ts'
import type { State } from './network/index.ts'
import type {
  Extent,
  FittedCurve,
  FlightContext,
  FlightNode,
  FlightOutput,
  FlightReport,
  LateInput,
} from './network/node.ts'

export { bodyNumbersOf } from './flight-layout.ts'

/** The outcome of a flight whose numbers make no vehicle (a mass below zero); its figures have no value. */
export const CANNOT_FLY = 'cannot be flown'

/** The least that a figure can be whatever the flight; the greatest is unknown but for those that are always zero. */
const LEAST: Partial<Record<string, number>> = {
  'peak g': 0,
  'max q': 0,
  'max speed': 0,
  'max mach': 0,
  'apoapsis time': 0,
  'peak g burning': 0,
  'peak g coasting': 0,
  'max q burning': 0,
  'max q coasting': 0,
  'touchdown speed': 0,
  'flight time': 0,
  'spaceborne time': 0,
  'entry g': 0,
  'entry q': 0,
}

/** Names of a flight's outputs, in order: "apoapsis", "burnout speed of booster", "opening q of main". */
export function outputNames(flight: FlightModel): readonly (FigureName & { readonly output: string })[] {
  const parts = { stage: flight.stages, canopy: flight.parachutes ?? [] }
  const stages = flight.staged ? flight.stages.length : 0
  return figureNames(stages, parts.canopy.length).map(({ name, of, index }) => {
    const output = of === 'flight' ? name : `${name} of ${parts[of][index]!.name}`
    return { name, of, index, output }
  })
}

/** The figure that an output of a flight stands for. */
export function figureOf(flight: FlightModel, output: string): FigureName {
  if (isOfFlight(output)) return { name: output, of: 'flight', index: 0 }
  return outputNames(flight).find(each => each.output === output)!
}

/** The outputs of flights that have no parts with figures of their own, by whether they go straight up: the same for all. */
const OF_FLIGHTS_ALONE = new Map<string, readonly FlightOutput[]>()

function outputsOf(flight: FlightModel, level: boolean): readonly FlightOutput[] {
  if (flight.staged || flight.parachutes) return outputsAnew(flight, level)
  const kind = level ? 'level' : 'turning'
  const known = OF_FLIGHTS_ALONE.get(kind) ?? outputsAnew(flight, level)
  OF_FLIGHTS_ALONE.set(kind, known)
  return known
}

function outputsAnew(flight: FlightModel, level: boolean): readonly FlightOutput[] {
  return outputNames(flight).map(({ name, of, output }) => {
    const own = of === 'flight'
    const still = own && name === 'apoapsis speed' && level
    const extent = extentOf(name, of, flight.staged === true)
    return {
      name: output,
      low: still ? 0 : own ? (LEAST[name] ?? Number.NEGATIVE_INFINITY) : Number.NEGATIVE_INFINITY,
      high: still ? 0 : Number.POSITIVE_INFINITY,
      extent,
    }
  })
}

function extentOf(name: string, of: FigureName['of'], staged: boolean): Extent {
  if (of === 'flight' && FLOWN.includes(name as FlownName)) return 'plain'
  if (staged && (of === 'stage' ? STACK_FIGURES.includes(name) : name === 'burn time')) return 'plain'
  if (!isLate(name)) return 'ascent'
  return of === 'stage' ? 'everything' : 'whole'
}

/** The numbers of a parachute, the first of which stands at a place, with the least of each that makes no fault. */
function lateInputs(first: number): readonly LateInput[] {
  return CANOPY_LEAST.map((least, number) => ({ input: first + number, least }))
}

/** A flight's node with where its numbers stand among the inputs. */
interface LaidOutNode extends FlightNode {
  readonly layout: Layout
}

/** Offers a flight to the network: its inputs as expressions, its run as a plan flown with the lanes asked for. */
export function flightNode(flight: FlightModel, body: BodyModel): LaidOutNode {
  const layout = layoutOf(flight, body)
  const directionsOf = directionsIn(layout)
  return {
    layout,
    inputs: layout.inputs,
    functions: flight.stages.map(dragFunction),
    outputs: outputsOf(flight, !flight.railElevation && !flight.pitch),
    rigid: Array.from({ length: layout.bodyCount }, (_, index) => layout.body + index),
    // No parachute opens before the apoapsis.
    ...(layout.parachutes.length > 0 ? { late: layout.parachutes.flatMap(lateInputs) } : {}),
    run: context => run(context, layout, directionsOf(context)),
    lifts: inputs => lifts(inputs, layout),
  }
}

/** Where the numbers of a flight of an open sheet stand among its node's inputs. */
export function layoutIn({ program }: State, flight: number): Layout {
  const { node } = program.flights[program.flightPlace[flight]!]!
  if ('layout' in node) return (node as LaidOutNode).layout
  throw new Error('a flight that was not laid out')
}

function dragFunction(stage: StageModel): { body: Expr; breaks: readonly number[] } {
  return { body: stage.dragCoefficient, breaks: stage.dragBreaks }
}

/** What is wrong with a plan's numbers, in words, or null. */
export function faultOf({ flight }: Layout, whole: WholePlan): string | null {
  return wholeFault(whole, { stages: flight.stages, canopies: flight.parachutes ?? [] })
}

function run(context: FlightContext, layout: Layout, directions: readonly WholeDirection[]): FlightReport {
  const whole = planFlown(context, layout)
  if (faultOf(layout, whole) !== null) {
    context.outputs.fill(Number.NaN)
    context.outputSlopes.fill(Number.NaN)
    return { outcome: CANNOT_FLY, work: 0 }
  }
  // Where the targets need the general flight it gives all figures, so that search and answer see the same numbers and nothing is flown twice.
  if (context.usual !== 'plain') return runWhole(context, layout, whole, directions, 0)
  if (layout.flight.staged) return runStages(context, layout, whole, directions)
  const plain = plainPlan(whole)
  const upright = plain !== null && directions.every(({ railElevation }) => railElevation === 0)
  if (!upright) return runWhole(context, layout, whole, directions, 0)
  const plainly = flyPlainly(context, plain, directions)
  if (context.extent === 'plain') return plainly
  const rest = runWhole(context, layout, whole, directions, FLOWN.length)
  return { outcome: rest.outcome, work: plainly.work + rest.work }
}

/** Stages: by the quick ascent where it can follow them, whose figures then stand before those of the general flight. */
function runStages(
  context: FlightContext,
  layout: Layout,
  plan: WholePlan,
  directions: readonly WholeDirection[],
): FlightReport {
  const { outputs, outputSlopes, lanes, accuracy } = context
  const quick = isStack(plan, directions) ? flyStack(plan, directions, accuracy) : null
  if (!quick) return runWhole(context, layout, plan, directions, 0)
  const { figures, slopes } = quick
  const work = workOf(quick, lanes)
  if (context.extent === 'plain') {
    outputs.set(figures)
    if (lanes > 0) outputSlopes.set(slopes)
    return { outcome: quick.outcome, work }
  }
  const rest = runWhole(context, layout, plan, directions, 0)
  for (let o = 0; o < outputs.length; o++) {
    if (Number.isNaN(figures[o]!)) continue
    outputs[o] = figures[o]!
    for (let l = 0; l < lanes; l++) outputSlopes[o * lanes + l] = slopes[o * lanes + l]!
  }
  return { outcome: rest.outcome, work: work + rest.work }
}

/** The changes of a flight's numbers by each lane, made anew only where they are others than the last time: mostly they are not. */
function directionsIn(layout: Layout): (context: FlightContext) => readonly WholeDirection[] {
  let last: WholeDirection[] = []
  let lastSlopes = new Float64Array(0)
  let lastCurves: readonly FittedCurve[] = []
  return ({ inputSlopes, lanes, curves }) => {
    if (lanes === 0) return []
    const { length } = inputSlopes
    let same = lastCurves === curves && last.length === lanes && lastSlopes.length === length
    for (let k = 0; same && k < length; k++) same = lastSlopes[k] === inputSlopes[k]
    if (same) return last
    lastSlopes = inputSlopes.slice()
    lastCurves = curves
    last = []
    for (let lane = 0; lane < lanes; lane++) {
      const drags = curves.map((fitted): Curve => ({ knots: endless(fitted), coefficients: fitted.slopes[lane]! }))
      last.push(numbersOf(layout, inputSlopes, drags, lanes, lane))
    }
    return last
  }
}

/** One stage straight up to its apoapsis: the figures of FLOWN, the others left without a value. */
function flyPlainly(context: FlightContext, plan: Plan, directions: readonly WholeDirection[]): FlightReport {
  const { lanes, outputs, outputSlopes } = context
  const flown = fly(plan, directions, context.accuracy)
  outputs.fill(Number.NaN)
  outputs.set(flown.figures)
  if (lanes > 0) {
    outputSlopes.fill(0)
    outputSlopes.set(flown.slopes)
  }
  return { outcome: flown.outcome, work: workOf(flown, lanes) }
}

/** Stage after stage in the plane; writes its figures from output `first` on. */
function runWhole(
  context: FlightContext,
  layout: Layout,
  plan: WholePlan,
  directions: readonly WholeDirection[],
  first: number,
): FlightReport {
  const { lanes, outputs, outputSlopes } = context
  const { accuracy, extent } = context
  const reach = extent === 'everything' ? 'with what it drops' : extent === 'whole' ? 'to the ground' : 'to apoapsis'
  const flown = flyWhole(plan, directions, accuracy, reach)
  const { shown } = layout
  for (let o = first; o < outputs.length; o++) {
    outputs[o] = flown.figures[shown[o]!]!
    for (let l = 0; l < lanes; l++) outputSlopes[o * lanes + l] = flown.slopes[shown[o]! * lanes + l]!
  }
  return { outcome: flown.outcome, work: workOf(flown, lanes) }
}

/** Right-hand sides that a flight was worth, with what its lanes cost. */
function workOf({ evaluations }: { readonly evaluations: number }, lanes: number): number {
  return evaluations * (1 + LANE_COST * lanes)
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
export function planFlown({ inputs, curves }: Pick<FlightContext, 'inputs' | 'curves'>, layout: Layout): WholePlan {
  return wholePlanOf(
    layout,
    inputs,
    curves.map(fitted => ({ knots: endless(fitted), coefficients: fitted.coefficients })),
    curves.map(fitted => fitted.real),
  )
}

/** Whether thrust passes weight before the propellant is spent on the pad: told from the numbers alone where the thrust is flat, for it is asked often. */
function lifts(inputs: Float64Array, layout: Layout): boolean {
  const { stages } = layout.flight
  const flat = bestPadRatio(layout, inputs)
  if (flat !== null) return flat > 1
  const whole = wholePlanOf(
    layout,
    inputs,
    stages.map(() => NO_DRAG),
    stages.map(() => NO_RESTART),
  )
  return leavesPadWhole(whole)
}

const NO_DRAG: Curve = { knots: Float64Array.of(0), coefficients: Float64Array.of(0, 0, 0, 0) }
const NO_RESTART = new Uint8Array(1)
