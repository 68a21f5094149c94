import type { Curve } from '../../model/expr.ts'
import type { Air } from './air.ts'
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

export function createLane(): Lane {
  return {
    state: new Float64Array(SIZE),
    vacuum: 0,
    cap: 0,
    beta: 0,
    exhaust: 0,
    area: 0,
    canopyFrom: 0,
    canopyTo: 0,
    fillTime: 0,
    elevation: 0,
    nose: 0,
    burnClock: 0,
    fillClock: 0,
    pitchClock: 0,
    event: 0,
    stages: new Float64Array(9 * SIZE),
    begin: new Float64Array(SIZE),
    kept: new Float64Array(SIZE),
  }
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
  evaluations: number
  readonly change: Change
  readonly lanes: readonly Lane[]
  /** The stages of a step between its ends. */
  readonly stages: readonly Point[]
}

export function createChange(): Change {
  return {
    upRate: 0,
    sideRate: 0,
    angleRate: 0,
    massRate: 0,
    dragLossRate: 0,
    backLossRate: 0,
    heatRate: 0,
    speed: 0,
    felt: 0,
    q: 0,
    mach: 0,
    heat: 0,
    push: 0,
  }
}

/** Stages and lanes live on between flights, which run one after another: made anew they cost as much as a short flight. */
const stagesKept: readonly Point[] = Array.from({ length: 8 }, createPoint)
const lanesKept: Lane[] = []

export function keptStages(): readonly Point[] {
  return stagesKept
}

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
