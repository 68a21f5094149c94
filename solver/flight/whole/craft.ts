import type { Curve } from '../../model/expr.ts'
import { AIRLESS, type Air } from './air.ts'
import { createPoint, type Point, SIZE } from './point.ts'

/** On the pad, along the rail, free. */
export type Mode = 'pad' | 'rail' | 'free'

/** A drag coefficient as cubics over mach: piece p from `starts[p]`, coefficients at `pieces[4p…]`, piece 0 constant; so each lane's change of them. */
export interface DragPieces {
  readonly starts: Float64Array
  readonly pieces: Float64Array
  readonly lanes: readonly Float64Array[]
  /** Whether the integration restarts where a piece begins. */
  readonly divides: readonly boolean[]
}

/** The change of a flight per unit of one lever, at fixed time since release; what the lever does to the forces of the moment. */
export interface Lane {
  readonly state: Float64Array
  /** Vacuum thrust at the cap, the cap, (1 − F_sl/F_vac)/p_ref, exhaust speed, reference area. */
  vacuum: number
  cap: number
  beta: number
  exhaust: number
  area: number
  /** The canopies' area × coefficient where filling began and ends, and the time it takes. */
  canopyFrom: number
  canopyTo: number
  fillTime: number
  elevation: number
  /** As a share of the nose radius. */
  nose: number
  /** Time since the stage's ignition, since the opening, since the flight's ignition. */
  burnClock: number
  fillClock: number
  pitchClock: number
  /** The event in hand: how much later it comes. */
  event: number
  /** Rates at the stages of a step and at its end, SIZE each; the state where the step began, and where it ended. */
  readonly stages: Float64Array
  readonly begin: Float64Array
  readonly kept: Float64Array
}

/** What `vary` gives: changes of the rates of a state, and of the figures that are watched. */
export interface Change {
  upRate: number
  sideRate: number
  angleRate: number
  massRate: number
  dragLossRate: number
  backLossRate: number
  heatRate: number
  speed: number
  felt: number
  q: number
  mach: number
  heat: number
  push: number
}

/** A vehicle in one stretch of its flight: what the forces on it hang on, and where the integration keeps its numbers. */
export interface Craft {
  radius: number
  surfaceGravity: number
  air: Air
  layer: number
  mode: Mode
  /** Straight up and down: then `direction` is the sign of the speed that drag and thrust go by. */
  vertical: boolean
  direction: number
  sine: number
  cosine: number
  burning: boolean
  /** Vacuum thrust at the cap and full flow [N], cap, (1 − F_sl/F_vac)/p_ref [1/Pa], exhaust speed [m/s]. */
  vacuum: number
  cap: number
  beta: number
  exhaust: number
  shape: Curve | null
  shapePiece: number
  ignition: number
  /** The air pressure takes all thrust. */
  clipped: boolean
  area: number
  dragPieces: DragPieces
  pieceLow: number
  pieceHigh: number
  /** Area × coefficient of the canopies where filling began and where it ends [m2], since when (once full: since when it is) and how long. */
  canopyFrom: number
  canopyTo: number
  opened: number
  fillTime: number
  pitch: Curve | null
  pitchPiece: number
  /** Ignition to release [s]. */
  hold: number
  /** Sutton and Graves's constant over the root of the nose radius, 0: no heating. */
  heating: number
  /** Whether a burnout is still to come, to which losses are counted. */
  losing: boolean
  /** The step in hand [s], and its error in tolerances. Here, since a number given to a function or back by it is put in a box of its own. */
  step: number
  error: number
  evaluations: number
  readonly change: Change
  lanes: readonly Lane[]
  /** The stages of a step between its ends. */
  readonly stages: readonly Point[]
}

const UNSET = Number.NaN
const NO_NUMBERS = new Float64Array(0)

export function createLane(): Lane {
  return {
    state: new Float64Array(SIZE),
    vacuum: UNSET,
    cap: UNSET,
    beta: UNSET,
    exhaust: UNSET,
    area: UNSET,
    canopyFrom: UNSET,
    canopyTo: UNSET,
    fillTime: UNSET,
    elevation: UNSET,
    nose: UNSET,
    burnClock: UNSET,
    fillClock: UNSET,
    pitchClock: UNSET,
    event: UNSET,
    stages: new Float64Array(9 * SIZE),
    begin: new Float64Array(SIZE),
    kept: new Float64Array(SIZE),
  }
}

export function createChange(): Change {
  return {
    upRate: UNSET,
    sideRate: UNSET,
    angleRate: UNSET,
    massRate: UNSET,
    dragLossRate: UNSET,
    backLossRate: UNSET,
    heatRate: UNSET,
    speed: UNSET,
    felt: UNSET,
    q: UNSET,
    mach: UNSET,
    heat: UNSET,
    push: UNSET,
  }
}

/** A craft that is not yet anywhere: numbers that are no whole ones, so that its fields are laid out for such. */
export function createCraft(): Craft {
  return {
    radius: UNSET,
    surfaceGravity: UNSET,
    air: AIRLESS,
    layer: 0,
    mode: 'pad',
    vertical: true,
    direction: UNSET,
    sine: UNSET,
    cosine: UNSET,
    burning: false,
    vacuum: UNSET,
    cap: UNSET,
    beta: UNSET,
    exhaust: UNSET,
    shape: null,
    shapePiece: 0,
    ignition: UNSET,
    clipped: false,
    area: UNSET,
    dragPieces: { starts: NO_NUMBERS, pieces: NO_NUMBERS, lanes: [], divides: [] },
    pieceLow: 0,
    pieceHigh: 0,
    canopyFrom: UNSET,
    canopyTo: UNSET,
    opened: UNSET,
    fillTime: UNSET,
    pitch: null,
    pitchPiece: 0,
    hold: UNSET,
    heating: UNSET,
    losing: false,
    step: UNSET,
    error: UNSET,
    evaluations: 0,
    change: createChange(),
    lanes: [],
    stages: Array.from({ length: 8 }, createPoint),
  }
}

/** Lanes live on between flights, which run one after another: made anew they cost as much as a short flight. */
const lanesKept: Lane[] = []

/** So many lanes, each with nothing in it. */
export function keptLanes(count: number): readonly Lane[] {
  while (lanesKept.length < count) lanesKept.push(createLane())
  const lanes = lanesKept.slice(0, count)
  for (const lane of lanes) clear(lane)
  return lanes
}

function clear(lane: Lane): void {
  lane.state.fill(0)
  lane.vacuum = 0
  lane.cap = 0
  lane.beta = 0
  lane.exhaust = 0
  lane.area = 0
  lane.canopyFrom = 0
  lane.canopyTo = 0
  lane.fillTime = 0
  lane.elevation = 0
  lane.nose = 0
  lane.burnClock = 0
  lane.fillClock = 0
  lane.pitchClock = 0
  lane.event = 0
}
