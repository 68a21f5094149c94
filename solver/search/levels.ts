/** Which levels a chain goes through. */
export type Goal = 'all' | 'violation'

export interface ChainOptions {
  readonly goal: Goal
  /** Rounds of "then the next smallest margin". */
  readonly rounds: number
  /** Whether to go on to the levers' ties. */
  readonly ties: boolean
  /** How many times the room is kept that rounding a lever without steps to nine digits may cost a margin. */
  readonly inset: number
}

/** What the levels are worth where the levers stand, and the rows that hold the room. */
export interface Standing {
  must: number
  should: number
  could: number
  /** The smallest margin lies between these wherever the box lets the levers go. */
  low: number
  high: number
  roomRows: number[]
}
