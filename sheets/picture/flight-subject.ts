import type { FlightAnswer, TargetAnswer } from '../answer.ts'
import type { Linear } from './linear.ts'
import type { Theme } from './theme.ts'

/** What a picture of a flight is made from. */
export interface FlightSubject {
  readonly title: string
  /** What was set, in a sentence. */
  readonly settings: string
  readonly flight: FlightAnswer
  readonly targets: readonly TargetAnswer[]
  readonly theme: Theme
  /** As part of a page: so wide [px], without a title. */
  readonly part?: { readonly width: number }
}

/** Height of a strip and the gap below it [px]. */
export const STRIP = 112
export const GAP = 36

export type Across = Linear

/** One curve over time, and the figures whose limits stand on it. */
export interface Strip {
  readonly name: string
  readonly column: string
  readonly unit: string
  /** Figures of the flight that stand on it. */
  readonly figures: readonly string[]
}

export const STRIPS: readonly Strip[] = [
  { name: 'altitude', column: 'altitude', unit: 'km', figures: ['apoapsis'] },
  { name: 'speed', column: 'speed', unit: 'm/s', figures: ['max speed', 'burnout speed'] },
  { name: 'felt acceleration', column: 'felt acceleration', unit: 'g0', figures: ['peak g'] },
  { name: 'dynamic pressure', column: 'dynamic pressure', unit: 'kPa', figures: ['max q'] },
]

/** A limit of a target on a strip. */
export interface Limit {
  readonly value: number
  readonly words: string
  readonly forbidden: 'above' | 'below'
  readonly target: TargetAnswer
  readonly family: number
}
