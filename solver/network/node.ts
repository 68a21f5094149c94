import type { AirProperty, Expr } from '../model/expr.ts'
import type { FlightModel } from '../model/model.ts'

/** How finely a flight is integrated: for a search's starts, for its steps, for what is reported. */
export type Accuracy = 'loose' | 'medium' | 'tight'

/** A function of the block's own argument (mach), as an expression over `local`, with the arguments at which it may jump or bend. */
export interface LocalFunction {
  readonly body: Expr
  readonly breaks: readonly number[]
}

/**
 * A local function turned into cubics. Piece k runs from `knots[k]` to the next knot, the last one on from there;
 * its value is c0 + w (c1 + w (c2 + w c3)), w = x − knots[k], c at `coefficients[4k…]`. `slopes[lane]` holds the
 * coefficients of its derivative by one lane at a fixed argument, over the same knots.
 */
export interface FittedCurve {
  readonly knots: Float64Array
  readonly coefficients: Float64Array
  readonly slopes: readonly Float64Array[]
  /** 1 where a knot is a real jump or bend, 0 where it only divides a smooth stretch. */
  readonly real: Uint8Array
}

/** One figure that a flight gives, with what is known of it before any flight: it lies from `low` to `high` where it has a value. */
export interface FlightOutput {
  readonly name: string
  readonly low: number
  readonly high: number
  /** How far the flight must be followed for it; `plain` unless told. */
  readonly extent?: Extent
}

/** An input of a flight, by its place, that makes no fault where it is finite and no less than `least`. */
export interface LateInput {
  readonly input: number
  readonly least: number
}

/** How much of a flight is flown: what is usual of its ascent, all of its ascent, all of it to the ground, what it drops too. Each holds the ones before. */
export type Extent = 'plain' | 'ascent' | 'whole' | 'everything'
export const EXTENTS: readonly Extent[] = ['plain', 'ascent', 'whole', 'everything']

/** Whether an output is known at the apoapsis. */
export function isOfAscent({ extent = 'plain' }: FlightOutput): boolean {
  return extent === 'plain' || extent === 'ascent'
}

/**
 * What a node is given for one run, and where it writes. All arrays are the network's own and are used again for the next run.
 * Lanes are only the levers that reach this flight; `lanes` is 0 where no derivatives are asked.
 */
export interface FlightContext {
  /** Values of the node's `inputs`, in their order. */
  readonly inputs: Float64Array
  /** `inputSlopes[input * lanes + lane]`. */
  readonly inputSlopes: Float64Array
  readonly lanes: number
  readonly accuracy: Accuracy
  /** Outputs that need more than this may be left NaN. */
  readonly extent: Extent
  /** What the sheet's targets ask of this flight, in whatever run: so that a node that flies in several ways can take the same one each time. */
  readonly usual: Extent
  /** The node's `functions`, fitted at these inputs. */
  readonly curves: readonly FittedCurve[]
  /** To be filled in the order of the node's `outputs`; NaN where the flight has no such figure. */
  readonly outputs: Float64Array
  /** To be filled: `outputSlopes[output * lanes + lane]`. */
  readonly outputSlopes: Float64Array
}

/** What a run tells besides its figures. */
export interface FlightReport {
  /** How the flight ended, in the words of the flight's own room. */
  readonly outcome: string
  /** Flights' worth of work, derivatives counted. */
  readonly work: number
}

/**
 * A flight as the network sees it: a relation that works out its figures from its inputs, one way only.
 * It keeps no state between runs that could change a result.
 */
export interface FlightNode {
  readonly inputs: readonly Expr[]
  readonly functions: readonly LocalFunction[]
  readonly outputs: readonly FlightOutput[]
  /** Places in `inputs` whose slopes the node does not read (a body's slots): the network takes those lanes by central differences. */
  readonly rigid: readonly number[]
  /** Inputs that come into play after the ascent: no output of its extent hangs on them where all of them are sound. Left out where there is none. */
  readonly late?: readonly LateInput[]
  readonly run: (context: FlightContext) => FlightReport
  /** Whether it leaves the pad at these inputs, without flying. */
  readonly lifts: (inputs: Float64Array) => boolean
}

export type NodeFactory = (flight: FlightModel, place: number) => FlightNode

/**
 * The air and gravity of body `body` at an altitude [m]: writes the value to `out[0]` and its slope by altitude to `out[1]` (SI; NaN: none).
 * `numbers` holds the slots of a body of the user's own in the order of BODY_SLOTS, NaN where it has none; it is empty for a built-in body.
 * Numbers that make no body (a radius of zero, say) have no air and no gravity: NaN. What there is, is never below zero.
 */
export type Air = (
  body: number,
  numbers: Float64Array,
  property: AirProperty,
  altitude: number,
  out: Float64Array,
) => void

/** From `floor` up [m], the property only rises or only falls between one of `turns` (rising) and the next, at which it may jump; null: not known. */
export type AirTurnsOf = (
  body: number,
  numbers: Float64Array,
  property: AirProperty,
) => { readonly floor: number; readonly turns: readonly number[] } | null

export const BODY_SLOTS = ['radius', 'gravity', 'pressure', 'density', 'scaleHeight', 'soundSpeed', 'top'] as const

/** What compiling needs besides the model. */
export interface Parts {
  readonly node: NodeFactory
  readonly air: Air
  readonly airTurns: AirTurnsOf
}
