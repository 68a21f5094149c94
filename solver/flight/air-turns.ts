import type { AirProperty } from '../model/expr.ts'
import type { BodyNumbers } from './plan.ts'
import { EARTH_TURNS } from './us76.ts'
import { AIR_FLOOR } from './us76-data.ts'

/** From `floor` up [m], a property only rises or only falls between one of `turns` (rising) and the next; at a turn it may jump. */
export interface AirTurns {
  readonly floor: number
  readonly turns: readonly number[]
}

const ANYWHERE = Number.NEGATIVE_INFINITY

/** Where a property of a body without fault may turn; null where that is not known. */
export function airTurns({ radius, air }: BodyNumbers, property: AirProperty): AirTurns | null {
  if (property === 'gravity') return { floor: -radius, turns: [] }
  if (air === null) return { floor: ANYWHERE, turns: [] }
  if (air.kind === 'us76') return { floor: AIR_FLOOR, turns: EARTH_TURNS }
  if (air.kind === 'exponential') return { floor: ANYWHERE, turns: [air.top] }
  // A table's sound speed follows from two of its columns, each with a course of its own.
  return property === 'sound speed' ? null : { floor: air.floor, turns: air.turns }
}
