import type { Craft } from './craft.ts'
import type { Kind } from './events.ts'
import type { Ledger } from './figures.ts'
import type { WholeDirection, WholePlan } from './plan.ts'
import type { Point } from './point.ts'
import type { Sought } from './records.ts'
import type { Burn, Schedule, Varied } from './schedule.ts'
import type { Care } from './step.ts'

/** What follows a flight. */
export interface Observer {
  /** A step taken, of `dt` seconds, between two points, with peaks at these places (−1 its beginning, 0 its end). */
  readonly step: (craft: Craft, from: Point, to: Point, dt: number, peaks: readonly number[]) => void
  /** Something that happens; `part`: which stage or parachute. */
  readonly event: (name: string, craft: Craft, point: Point, part: number) => void
  /** A coast without air in closed form, to `to`. */
  readonly coast: (craft: Craft, from: Point, to: Point) => void
}

/** How a flight ended. */
export type End =
  | 'comes down'
  | 'escapes'
  | 'goes into orbit'
  | 'never leaves the pad'
  | 'never safe to open'
  | 'hits the ground before opening'
  | "lands under the booster's own fall"
  | 'could not be flown'

/** A flight under way, as its parts see it (Voyage is the whole). */
export interface Way {
  readonly plan: WholePlan
  readonly directions: readonly WholeDirection[]
  readonly craft: Craft
  readonly schedule: Schedule
  readonly ledger: Ledger
  readonly log: Journal
  readonly canopies: Opener
  readonly clock: Keeper
  readonly descend: boolean
  readonly loose: boolean
  readonly observer: Observer | null
  readonly care: Care
  /** Where the flight is; where the step in hand ends; a point to look at. */
  from: Point
  to: Point
  readonly scratch: Point
  end: End | null
  /** Change of the time from ignition to release, by lane. */
  readonly holdSlopes: Float64Array
  /** Passes a change of forces, and the same with the peaks that may stand on either side; `lane.event` must be set. */
  readonly jump: (change: () => void, mass?: Varied | null, pieces?: boolean) => void
  readonly cross: (change: () => void, pieces?: boolean) => void
  /** Looks anew at what may come. */
  readonly arrange: () => void
  /** What a met event brings; `lane.event` must be set. */
  readonly happen: (kind: Kind) => void
  /** Puts the end of a coast in closed form in place of where the flight is. */
  readonly move: (point: Point) => void
}

/** Keeps what comes by the clock (Clock). */
export interface Keeper {
  readonly spent: boolean
  readonly burntOut: boolean
  /** The next moment that comes by it. */
  readonly time: number
  /** Looks anew at what that is. */
  readonly arrange: () => void
  /** Keeps what comes at that moment, which is reached. */
  readonly keep: () => void
}

/** Writes a flight's figures down as they come about (Log). */
export interface Journal {
  readonly ascending: boolean
  readonly fallen: boolean
  readonly tracing: boolean
  readonly inSpace: boolean
  readonly spaceEdge: number | null
  readonly sought: Sought
  readonly coast: () => void
  readonly considerAll: () => void
  readonly ignite: (burn: number) => void
  readonly burnout: (burn: Burn) => void
  readonly drop: (stage: number) => void
  readonly railEnd: () => void
  readonly space: () => void
  readonly apoapsis: () => void
  readonly closeAscent: (landed: boolean) => void
  readonly ground: () => void
  readonly felt: (point: Point, slopes: Float64Array, shift: Float64Array | null) => void
  readonly trace: (dt: number, peak: number, shift: Float64Array) => void
  readonly opening: (index: number) => void
  readonly under: (index: number) => void
  readonly escape: (farness: { readonly v: number; readonly d: readonly [number, number, number] }) => void
  readonly weigh: () => void
  readonly stay: () => void
}

/** Opens the parachutes (Canopies). */
export interface Opener {
  readonly altitude: number
  readonly waits: boolean
  readonly altitudeChange: (lane: number) => number
  readonly opensHere: () => boolean
  readonly waiting: boolean
  readonly gap: (point: Point) => number
  readonly gapRate: (point: Point) => number
  readonly gapChange: (point: Point, lane: number) => number
  readonly arm: () => void
  readonly open: () => void
  readonly full: () => void
  readonly verdict: () => End
}
