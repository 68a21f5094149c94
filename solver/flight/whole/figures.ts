import { FLOWN } from '../plan.ts'
import { takeNumbers } from '../slab.ts'

/** What a whole flight gives besides FLOWN; SI. */
export const FARTHER = [
  'burn time',
  'burnout angle',
  'rail exit speed',
  'orbit shortfall',
  'periapsis',
  'peak heat flux',
  'heat load',
  'ascent crew margin',
  'spaceborne time',
  'entry g',
  'entry q',
  'entry heat flux',
  'entry heat load',
  'entry crew margin',
  'crew margin',
  'touchdown speed',
  'touchdown energy',
  'flight time',
  'downrange',
] as const
export const FLIGHT_FIGURES = [...FLOWN, ...FARTHER] as const
export type FlightFigure = (typeof FLIGHT_FIGURES)[number]

/** Of each stage: its own burn and the coast after it; where it is dropped, its own fall. */
export const STAGE_FIGURES = [
  'burn time',
  'burnout ratio',
  'burnout altitude',
  'burnout speed',
  'peak g burning',
  'peak g coasting',
  'max q burning',
  'max q coasting',
  'downrange',
  'flight time',
  'touchdown speed',
] as const
export type StageFigure = (typeof STAGE_FIGURES)[number]

/** Those of them that the quick ascent of stages gives, besides FLOWN and the flight's own burn time. */
export const STACK_FIGURES: readonly string[] = STAGE_FIGURES.slice(0, STAGE_FIGURES.indexOf('downrange'))

export const CANOPY_FIGURES = ['opening speed', 'opening q', 'opening altitude', 'opening time', 'opening g'] as const
export type CanopyFigure = (typeof CANOPY_FIGURES)[number]

/** Figures for which the flight must be flown past its apoapsis. */
const LATE: readonly string[] = [
  'spaceborne time',
  'entry g',
  'entry q',
  'entry heat flux',
  'entry heat load',
  'entry crew margin',
  'crew margin',
  'touchdown speed',
  'touchdown energy',
  'flight time',
  'downrange',
  ...CANOPY_FIGURES,
]

export function isLate(name: string): boolean {
  return LATE.includes(name)
}

/** One figure by its place in the output arrays. */
export interface FigureName {
  readonly name: string
  readonly of: 'flight' | 'stage' | 'canopy'
  readonly index: number
}

/** All figures of a flight of so many stages and canopies, in the order of its outputs. */
export function figureNames(stages: number, canopies: number): readonly FigureName[] {
  const parts = (names: readonly string[], of: 'stage' | 'canopy', count: number): FigureName[] =>
    Array.from({ length: count }, (_, index) => names.map(name => ({ name, of, index }))).flat()
  return [
    ...FLIGHT_FIGURES.map((name): FigureName => ({ name, of: 'flight', index: 0 })),
    ...parts(STAGE_FIGURES, 'stage', stages),
    ...parts(CANOPY_FIGURES, 'canopy', canopies),
  ]
}

const FLIGHT_PLACES = new Map<string, number>(FLIGHT_FIGURES.map((name, place) => [name, place]))

/** Whether a name is that of a figure of the flight as a whole. */
export function isOfFlight(name: string): boolean {
  return FLIGHT_PLACES.has(name)
}

/** The place of a stage's figure in the output arrays. */
export function stagePlace(stage: number, name: StageFigure): number {
  return FLIGHT_FIGURES.length + stage * STAGE_FIGURES.length + STAGE_FIGURES.indexOf(name)
}

/** A flight's figures as they come in, each with its slopes. */
export class Ledger {
  readonly figures: Float64Array
  readonly slopes: Float64Array
  private readonly lanes: number
  private readonly stages: number

  constructor(stages: number, canopies: number, lanes: number) {
    const count = FLIGHT_FIGURES.length + stages * STAGE_FIGURES.length + canopies * CANOPY_FIGURES.length
    this.figures = takeNumbers(count, Number.NaN)
    this.slopes = takeNumbers(count * lanes, 0)
    this.lanes = lanes
    this.stages = stages
  }

  put(name: FlightFigure, value: number, slope: (lane: number) => number): void {
    this.write(FLIGHT_PLACES.get(name)!, value, slope)
  }

  putStage(stage: number, name: StageFigure, value: number, slope: (lane: number) => number): void {
    this.write(stagePlace(stage, name), value, slope)
  }

  atStage(stage: number, name: StageFigure): number {
    return this.figures[stagePlace(stage, name)]!
  }

  putCanopy(canopy: number, name: CanopyFigure, value: number, slope: (lane: number) => number): void {
    const first = FLIGHT_FIGURES.length + this.stages * STAGE_FIGURES.length
    this.write(first + canopy * CANOPY_FIGURES.length + CANOPY_FIGURES.indexOf(name), value, slope)
  }

  at(name: FlightFigure): number {
    return this.figures[FLIGHT_PLACES.get(name)!]!
  }

  slopeAt(name: FlightFigure, lane: number): number {
    return this.slopes[FLIGHT_PLACES.get(name)! * this.lanes + lane]!
  }

  private write(place: number, value: number, slope: (lane: number) => number): void {
    this.figures[place] = value
    const finite = Number.isFinite(value)
    for (let lane = 0; lane < this.lanes; lane++) this.slopes[place * this.lanes + lane] = finite ? slope(lane) : 0
  }
}
