import type { Id } from '../model/expr.ts'
import type { Level, Model } from '../model/model.ts'
import type { Arrangement } from './graph.ts'
import type { Extent, FlightNode, Parts } from './node.ts'
import { OP, type Slot, type Tape } from './tape.ts'

/** A target's slots. `low` and `high` are its limits (−1 where open, both the same for `equal to`), `tolerance` the half-width after ±. */
export interface TargetSlots {
  readonly level: Level
  readonly kind: 'at least' | 'at most' | 'within' | 'equal to' | 'equal within'
  readonly value: Slot
  readonly low: Slot
  readonly high: Slot
  readonly tolerance: Slot
}

export interface AimSlots {
  readonly sense: 'least' | 'most' | 'roomiest'
  /** −1 for roomiest. */
  readonly value: Slot
}

/** A local function: a slot of the main tape where it does not hang on its argument, else a side tape. */
export interface FunctionCode {
  /** Slot on the main tape, or −1. */
  readonly constant: Slot
  readonly tape: Tape
  readonly argument: Slot
  readonly result: Slot
  /** Main slots read, their rows of slopes, and the side slots they are copied to. */
  readonly from: Int32Array
  readonly fromRow: Int32Array
  readonly to: Int32Array
  readonly breaks: readonly number[]
}

/** A flight on the tape. */
export interface FlightCode {
  readonly node: FlightNode
  /** Its `fly` instruction; everything before it can be worked out without it. */
  readonly at: Slot
  readonly inputs: Int32Array
  readonly rowOf: Int32Array
  readonly functions: readonly FunctionCode[]
  readonly outputs: Int32Array
  readonly outputRow: Int32Array
  readonly outputNames: ReadonlyMap<string, Slot>
  /** Places in `program.levers` of the levers that reach it. */
  readonly levers: readonly number[]
  /** Those of them that move what the node takes as fixed: their lanes are taken by central differences. */
  readonly stiff: readonly number[]
  /** Whether a target or an aim hangs on it, and how far it must be flown for those that do. */
  readonly wanted: boolean
  readonly extent: Extent
}

/** A model turned into straight-line code. Nothing in it changes; what changes lives in a State. */
export interface Program {
  readonly model: Model
  readonly parts: Parts
  readonly arrangement: Arrangement
  readonly tape: Tape
  /** Slots before it hang on facts only; those from it to `flown` need no flight. */
  readonly algebra: Slot
  readonly flown: Slot
  /** The slot of each quantity. */
  readonly slots: Int32Array
  /** The quantity for which a slot was first written; −1: for a target, aim or flight. */
  readonly owner: Int32Array
  /** The levers in order of name, and their slots. */
  readonly levers: readonly Id[]
  readonly leverSlots: Int32Array
  /** In order of their `fly` instructions. `flightPlace[f]` is the place here of flight f of the model. */
  readonly flights: readonly FlightCode[]
  readonly flightPlace: Int32Array
  readonly targets: readonly TargetSlots[]
  readonly aims: readonly AimSlots[]
  /** Slots of further expressions asked for. */
  readonly extras: Int32Array
  /** Words a row of slopes: bit l of those from `reach[tape.row[slot] * words]` is set where lever l reaches the slot. */
  readonly reach: Uint32Array
  /** The same wherever no flight's late inputs make a fault: they do not reach its ascent then. */
  readonly soundReach: Uint32Array
  readonly words: number
  /** Of the algebra that targets and aims hang on what levers move, in order; empty where nothing among it may jump or bend. */
  readonly bending: Int32Array
}

/** The slots of a target's value and limits. */
export function slotsOf({ value, low, high, tolerance }: TargetSlots): Slot[] {
  return [value, low, high, tolerance].filter(slot => slot !== -1)
}

/** The levers that reach a slot, as places in `program.levers`. */
export function leversAt({ reach, words, tape, levers }: Program, slot: Slot): number[] {
  const from = tape.row[slot]! * words
  return levers.map((_, l) => l).filter(l => (reach[from + (l >> 5)]! >>> (l & 31)) & 1)
}

/** Whether a slot needs a flight. */
export function needsFlight(program: Program, slot: Slot): boolean {
  return slot >= program.flown
}

/** Which flight's output a slot is, by its name in the node; null where it is none. */
export function outputAt({ tape, flights, flightPlace }: Program, slot: Slot): { flight: number; name: string } | null {
  if (tape.op[slot] !== OP.flown) return null
  const flight = tape.a[slot]!
  return { flight, name: flights[flightPlace[flight]!]!.node.outputs[tape.b[slot]!]!.name }
}

/** The slot of a flight's output by its name in the node, for outputs that no quantity of the model stands for too. */
export function outputSlot(program: Program, flight: number, output: string): Slot {
  const slot = program.flights[program.flightPlace[flight]!]!.outputNames.get(output)
  if (slot === undefined) throw new Error(`a flight gives no ${output}`)
  return slot
}
