/** A stretch of the text: offsets in UTF-16 units, the end not in it. */
export type Stretch = readonly [number, number]

/** A unit as a straight line: SI = zero + per × number. */
export interface OutlineUnit {
  readonly text: string
  readonly per: number
  readonly zero: number
}

/** An expression as it stands in the text. */
export interface OutlineValue {
  readonly at: Stretch
  readonly text: string
  /** The unit of a plain number; null where more than a number with its unit is written. */
  readonly unit: OutlineUnit | null
}

/** What a lever or fact is about, for a name that is known. */
interface OutlineLine {
  readonly name: string
  /** Its line in the text, from 1. */
  readonly line: number
  /** The declaration without its comment. */
  readonly whole: Stretch
  readonly description: string | null
}

/** A fact and where its value stands. */
export interface OutlineFact extends OutlineLine {
  readonly value: OutlineValue
  /** The half-width after ±, as written. */
  readonly error: OutlineValue | null
}

/** A lever and where its range stands. */
export interface OutlineLever extends OutlineLine {
  readonly from: OutlineValue
  readonly to: OutlineValue
  readonly step: OutlineValue | null
  /** The range worked out [SI], null where it is faulty, and its settings where it has steps. */
  readonly range: readonly [number, number] | null
  readonly settings: Float64Array | null
  readonly unit: OutlineUnit
}

/** One end of a target's limit. */
export interface OutlineLimit {
  readonly end: 'low' | 'high' | 'both'
  readonly value: OutlineValue
}

/** A target and where its limits stand. */
export interface OutlineTarget {
  /** As `tidy` prints it, without its level. */
  readonly text: string
  readonly level: 'must' | 'should' | 'could'
  readonly line: number
  readonly whole: Stretch
  readonly kind: 'at least' | 'at most' | 'within' | 'equal to'
  readonly limits: readonly OutlineLimit[]
  readonly description: string | null
}

/** Where in the text everything stands that a hand may change. Lines that are wrong are left out. */
export interface SheetOutline {
  readonly facts: readonly OutlineFact[]
  readonly levers: readonly OutlineLever[]
  readonly targets: readonly OutlineTarget[]
  readonly flights: readonly string[]
  /** Every name that may be asked about. */
  readonly names: readonly string[]
}
