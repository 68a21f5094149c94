import { airAt, EARTH } from './flight/air.ts'
import { airByTable } from './flight/air-table.ts'
import { spaceBoundary } from './flight/index.ts'
import { REFERENCE_PRESSURE } from './flight/pad.ts'
import type { BodyNumbers, Plan, StageNumbers } from './flight/plan.ts'
import { warmDay } from './flight/warm-day.ts'
import { CANOPY_FIGURES, FLIGHT_FIGURES, STAGE_FIGURES } from './flight/whole/figures.ts'
import type { Canopy, WholeNumbers, WholePlan, WholeStage } from './flight/whole/plan.ts'
import { WORLDS } from './flight/worlds.ts'
import type { Curve, Expr } from './model/expr.ts'
import type { AirTable, BodyModel, FlightModel } from './model/model.ts'

const STAGE = [
  'dryMass',
  'propellantMass',
  'vacuumThrust',
  'seaLevelThrust',
  'exhaustSpeed',
  'throttleCap',
  'referenceArea',
] as const
/** Stand-ins for a stage's numbers that a lever moves, in the order of STAGE: a vehicle without fault. */
const SOUND_STAGE = [1, 0, 1, 1, 1, 1, 0] as const

/** Where a flight's numbers stand among its node's inputs. */
export interface Layout {
  readonly inputs: readonly Expr[]
  /** For each input a number that makes no fault. */
  readonly sound: readonly number[]
  /** First input of each stage and parachute; of the body: radius, gravity, its air, then space and heating. */
  readonly stages: readonly number[]
  readonly parachutes: readonly number[]
  readonly body: number
  readonly bodyCount: number
  readonly flight: FlightModel
  readonly bodyModel: BodyModel
  /** Each stage's thrust over time, null where it is flat. */
  readonly shapes: readonly (Curve | null)[]
  /** For each output its place among all that a whole flight gives: one without stage blocks does not show its stage. */
  readonly shown: Int32Array
}

const zero: Expr = { op: 'const', value: 0 }
const upright: Expr = { op: 'const', value: Math.PI / 2 }
/** What no lever is meant to reach: a nose of no radius has no heating, a limit beyond reach is none. */
const none: Expr = { op: 'const', value: 0 }
const beyond: Expr = { op: 'const', value: Number.MAX_VALUE }

/** The least of a parachute's numbers, in their order among the inputs, that `faultOf` does not find fault with: area, opening altitude, fill time, safe q, safe speed. */
export const CANOPY_LEAST = [0, Number.NEGATIVE_INFINITY, 0, Number.MIN_VALUE, Number.MIN_VALUE] as const

/** Places of the flight's own numbers. */
const [ALTITUDE, ELEVATION, RAIL, NOSE] = [0, 1, 2, 3]

/** The inputs of a flight: its own, each stage's, each parachute's, its body's. */
export function layoutOf(flight: FlightModel, body: BodyModel): Layout {
  const inputs: Expr[] = [
    flight.launchAltitude,
    flight.railElevation ?? upright,
    flight.railLength ?? zero,
    flight.noseRadius ?? none,
  ]
  const sound: number[] = [0, Math.PI / 2, 0, 0]
  const stages = flight.stages.map(stage => {
    const first = inputs.length
    inputs.push(...STAGE.map(name => stage[name]), stage.separationDelay ?? zero, stage.ignitionDelay ?? zero)
    sound.push(...SOUND_STAGE, 0, 0)
    return first
  })
  const parachutes = (flight.parachutes ?? []).map(({ area, altitude, fillTime, safeQ, safeSpeed }) => {
    const first = inputs.length
    inputs.push(area, altitude, fillTime, safeQ ?? beyond, safeSpeed ?? beyond)
    sound.push(1, 0, 0, 1, 1)
    return first
  })
  const first = inputs.length
  const slots = bodySlots(body)
  inputs.push(...slots)
  sound.push(...SOUND_BODY.slice(0, slots.length))
  const shapes = flight.stages.map(stage => stage.shape ?? null)
  const ofStages = STAGE_FIGURES.length * stages.length
  const ofParachutes = CANOPY_FIGURES.length * parachutes.length
  const left = flight.staged ? 0 : ofStages
  const count = FLIGHT_FIGURES.length + ofStages - left + ofParachutes
  const shown = new Int32Array(count).map((_, place) => (place < FLIGHT_FIGURES.length ? place : place + left))
  return {
    inputs,
    sound,
    stages,
    parachutes,
    body: first,
    bodyCount: slots.length,
    flight,
    bodyModel: body,
    shapes,
    shown,
  }
}

/** Radius, gravity, pressure, density, scale height, sound speed, top; space and heating constant come last. */
const SOUND_BODY = [1e6, 1, 1, 1, 1, 1, 1, 0, 0]

/** The numbers of the sheet's own body: without air only the first two before space and heating. An air that tells no sound speed has one of zero. */
function bodySlots(body: BodyModel): readonly Expr[] {
  if (body.kind === 'earth') return body.warmth ? [body.warmth] : []
  if (body.kind !== 'own') return []
  const { radius, gravity, air } = body
  const last = [body.space ?? air?.top ?? none, body.heating ?? none]
  if (body.table) return [radius, gravity, body.tableSound ?? none, ...last]
  if (!air) return [radius, gravity, ...last]
  return [radius, gravity, air.pressure, air.density, air.scaleHeight, air.soundSpeed ?? zero, air.top, ...last]
}

/** A body of the model, its numbers as the network asks for its air with them: BODY_SLOTS of one of the sheet's own, Earth's warmth if it has one. */
export function bodyNumbersOf(body: BodyModel, numbers: Float64Array): BodyNumbers {
  if (body.kind === 'own')
    return body.table ? byTable(body.table, numbers[0]!, numbers[1]!, numbers[5]!) : ownBody(numbers)
  if (body.kind === 'earth' && body.warmth) return { ...EARTH, air: warmDay(numbers[0]!) }
  return WORLDS[body.kind].numbers()
}

function byTable(table: AirTable, radius: number, gravity: number, sound: number): BodyNumbers {
  return { radius, gravity, air: airByTable(table, radius, gravity, sound) }
}

/** Without a pressure (none, or NaN) it has no air, without a sound speed (0, or NaN) no mach. */
function ownBody(numbers: Float64Array): BodyNumbers {
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

function bodyOf(layout: Layout, inputs: Float64Array): Pick<WholePlan, 'body' | 'space' | 'heating'> {
  const { body, bodyCount, bodyModel } = layout
  if (bodyModel.kind !== 'own') {
    const numbers = bodyNumbersOf(bodyModel, inputs.subarray(body))
    return { body: numbers, space: spaceBoundary(numbers), heating: WORLDS[bodyModel.kind].heating }
  }
  const [space, heating] = [inputs[body + bodyCount - 2]!, inputs[body + bodyCount - 1]!]
  const numbers = inputs.subarray(body, body + bodyCount - 2)
  const { table } = bodyModel
  const world = table ? byTable(table, numbers[0]!, numbers[1]!, numbers[2]!) : ownBody(numbers)
  return {
    body: world,
    space: bodyModel.space || bodyModel.air ? space : spaceBoundary(world),
    heating: heating > 0 ? heating : Number.NaN,
  }
}

function stageOf(from: Float64Array, at: number, every: number, drag: Curve): WholeStage {
  return {
    dryMass: from[at]!,
    propellantMass: from[at + every]!,
    vacuumThrust: from[at + 2 * every]!,
    seaLevelThrust: from[at + 3 * every]!,
    exhaustSpeed: from[at + 4 * every]!,
    throttleCap: from[at + 5 * every]!,
    referenceArea: from[at + 6 * every]!,
    separationDelay: from[at + 7 * every]!,
    ignitionDelay: from[at + 8 * every]!,
    drag,
  }
}

function canopyOf(from: Float64Array, first: number, every: number): Canopy {
  const at = (index: number): number => from[first + index * every]!
  const limit = (value: number): number => (value === Number.MAX_VALUE ? Number.POSITIVE_INFINITY : value)
  return { area: at(0), altitude: at(1), fillTime: at(2), safeQ: limit(at(3)), safeSpeed: limit(at(4)) }
}

/**
 * Thrust over weight on the pad at its best, when the first stage with propellant has just spent it (along a rail: over weight's share); 0 where nothing burns,
 * null where a thrust curve must be followed.
 */
export function bestPadRatio(layout: Layout, inputs: Float64Array): number | null {
  const { stages, flight } = layout
  const first = stages.findIndex(at => inputs[at + 1]! > 0)
  if (first < 0) return 0
  if (flight.stages[first]!.shape) return null
  const at = stages[first]!
  let left = inputs[at]!
  for (let k = first + 1; k < stages.length; k++) left += inputs[stages[k]!]! + inputs[stages[k]! + 1]!
  const { body } = bodyOf(layout, inputs)
  const [vacuum, sea, cap] = [inputs[at + 2]!, inputs[at + 3]!, inputs[at + 5]!]
  const pressure = airAt(body, 'pressure', inputs[ALTITUDE]!)
  const thrust = cap * (vacuum - ((vacuum - sea) * pressure) / REFERENCE_PRESSURE)
  const weight = left * airAt(body, 'gravity', inputs[ALTITUDE]!) * Math.sin(inputs[ELEVATION]!)
  return Math.max(0, thrust) / weight
}

/**
 * The numbers of a flight from its inputs, or their change by one lever from its inputs' slopes, of which each input has `every`, one a
 * lever: those of lever `lane`.
 */
export function numbersOf(
  layout: Layout,
  from: Float64Array,
  drags: readonly Curve[],
  every = 1,
  lane = 0,
): WholeNumbers {
  return {
    launchAltitude: from[ALTITUDE * every + lane]!,
    railElevation: from[ELEVATION * every + lane]!,
    railLength: from[RAIL * every + lane]!,
    noseRadius: from[NOSE * every + lane]!,
    stages: layout.stages.map((first, stage) => stageOf(from, first * every + lane, every, drags[stage]!)),
    canopies: layout.parachutes.map(first => canopyOf(from, first * every + lane, every)),
  }
}

/** The whole plan that a node's inputs describe. */
export function wholePlanOf(
  layout: Layout,
  inputs: Float64Array,
  drags: readonly Curve[],
  restarts: readonly Uint8Array[],
): WholePlan {
  const { flight } = layout
  const { body, space, heating } = bodyOf(layout, inputs)
  const numbers = numbersOf(layout, inputs, drags)
  // Field by field: this is made for every flight, and objects spread into one another are slow to make and to read.
  return {
    launchAltitude: numbers.launchAltitude,
    railElevation: numbers.railElevation,
    railLength: numbers.railLength,
    noseRadius: numbers.noseRadius,
    stages: numbers.stages,
    canopies: numbers.canopies,
    body,
    space,
    heating,
    shapes: layout.shapes,
    pitch: flight.pitch ?? null,
    crewLimit: flight.crewLimit ?? null,
    entryCrewLimit: flight.entryCrewLimit ?? flight.crewLimit ?? null,
    restarts,
  }
}

/** The same as a plan of one stage straight up, where it is that; else null. */
export function plainPlan(whole: WholePlan): Plan | null {
  const [stage] = whole.stages
  const straight = whole.railElevation === Math.PI / 2 && whole.pitch === null
  if (whole.stages.length !== 1 || !straight || whole.shapes[0] !== null) return null
  const stages: readonly StageNumbers[] = [stage!]
  return { body: whole.body, launchAltitude: whole.launchAltitude, stages, restarts: whole.restarts[0]! }
}
