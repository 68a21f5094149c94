import type { Id } from '../model/expr.ts'
import { FlightRun } from './flightrun.ts'
import type { Accuracy, FlightContext } from './node.ts'
import type { Program } from './program.ts'
import { runSlopes, type Slopes } from './slopes.ts'
import { OP, type Slot } from './tape.ts'
import { type AirAt, runValues } from './values.ts'

/** What one evaluation should do. */
export interface Request {
  readonly accuracy: Accuracy
  readonly slopes: boolean
  /** `wanted`: only flights on which a target or an aim hangs, as far as these need; the other figures may have no value then. */
  readonly scope: 'wanted' | 'all'
}

/** A fresh state of a program: every fact as written, every lever free. */
export function start(program: Program): State {
  return new State(program)
}

/**
 * One open sheet: the numbers of a program's slots, and what has been set. Points are given as values of the free levers, in the
 * program's order (by name); a pinned lever is none of them, and no slopes are taken by it.
 */
export class State {
  readonly program: Program
  /** All slots' values after the last evaluation. NaN: no value. */
  readonly values: Float64Array
  /** Numbers that stand for facts, NaN where the sheet's own holds. */
  readonly overrides: Float64Array
  /** Places in `program.levers` of the levers that are not pinned. */
  free: Int32Array
  readonly slopes: Slopes
  /** Flights' worth of work of the last evaluation. A flight whose inputs have not changed costs nothing. */
  work = 0
  private readonly pins: Float64Array
  private readonly runs: readonly FlightRun[]
  private readonly airAt: AirAt
  private stale = true
  private flew = false

  constructor(program: Program) {
    this.program = program
    this.values = program.tape.initial.slice()
    this.overrides = new Float64Array(program.tape.length).fill(Number.NaN)
    this.pins = new Float64Array(program.levers.length).fill(Number.NaN)
    this.free = Int32Array.from(program.levers.keys())
    this.slopes = { lanes: 0, rows: new Float64Array(0), values: this.values, steep: -1 }
    this.airAt = airOf(program)
    this.runs = program.flights.map(code => new FlightRun(code))
    this.arrangeLanes()
  }

  /** Lets a number stand for a fact, or (null) the sheet's own again. Only what hangs on it is worked out anew, at the next evaluation. */
  setFact(id: Id, value: number | null): void {
    const slot = this.program.slots[id]!
    if (this.program.tape.op[slot] !== OP.fact) throw new Error(`quantity ${id} is no fact`)
    if (value !== null && !Number.isFinite(value)) throw new Error(`a fact of ${value}`)
    this.overrides[slot] = value ?? Number.NaN
    this.stale = true
  }

  /** Holds a lever at a value, or (null) frees it. */
  pin(id: Id, value: number | null): void {
    const lever = this.program.levers.indexOf(id)
    if (lever === -1) throw new Error(`quantity ${id} is no lever`)
    if (value !== null && !Number.isFinite(value)) throw new Error(`a lever at ${value}`)
    this.pins[lever] = value ?? Number.NaN
    this.free = Int32Array.from([...this.pins.keys()].filter(l => Number.isNaN(this.pins[l])))
    this.arrangeLanes()
  }

  /** The value at which a lever (its place in `program.levers`) is pinned, NaN where it is free. */
  pinned(lever: number): number {
    return this.pins[lever]!
  }

  /** Forgets flights flown before, so that what follows does not hang (in its work) on what went before. */
  forget(): void {
    for (const run of this.runs) run.forget()
  }

  /** Works out the slots that hang on facts alone. Called by the evaluations; at no cost where no fact has changed. */
  refresh(): void {
    if (!this.stale) return
    runValues(this.program.tape, this.values, 0, this.program.algebra, this.overrides, this.airAt)
    this.stale = false
  }

  /** Works out every slot that needs no flight; the others have no value then. */
  evaluateAlgebra(x: Float64Array, slopes = false): void {
    this.work = 0
    this.runAlgebra(x, slopes)
    this.values.fill(Number.NaN, this.program.flown)
    this.flew = false
  }

  /** Works out everything at a point. */
  evaluate(x: Float64Array, { accuracy, slopes, scope }: Request): void {
    const { tape, flights, flown } = this.program
    this.work = 0
    this.flew = true
    this.runAlgebra(x, slopes)
    let done = flown
    for (let f = 0; f < this.runs.length; f++) {
      const run = this.runs[f]!
      const { at, wanted, extent } = flights[f]!
      this.run(done, at, slopes)
      if (wanted || scope === 'all')
        this.work += run.fly(this.values, this.slopes, slopes, accuracy, scope === 'all' ? 'everything' : extent)
      else run.skip(this.values)
      done = at
    }
    this.run(done, tape.length, slopes)
  }

  /** Whether every flight that matters leaves the pad at the point last evaluated, as far as that can be told without flying. */
  lifts(): boolean {
    return this.runs.every((run, f) => !this.program.flights[f]!.wanted || run.lifts(this.values))
  }

  valueOf(id: Id): number {
    return this.values[this.program.slots[id]!]!
  }

  /** The slopes of a quantity by each free lever: a view, good until the next evaluation with slopes. */
  slopesOf(id: Id): Float64Array {
    return this.slopesAt(this.program.slots[id]!)
  }

  /** The slopes of a slot by each free lever: a view, good until the next evaluation with slopes. */
  slopesAt(slot: Slot): Float64Array {
    const { lanes, rows } = this.slopes
    const from = this.program.tape.row[slot]! * lanes
    return rows.subarray(from, from + lanes)
  }

  /** Copies the slopes of a slot to `out[at…]`: without the view that `slopesAt` makes, which costs more than the copy. */
  copySlopes(slot: Slot, out: Float64Array, at: number): void {
    const { lanes, rows } = this.slopes
    const from = this.program.tape.row[slot]! * lanes
    for (let l = 0; l < lanes; l++) out[at + l] = rows[from + l]!
  }

  /** How flight f of the model ended at the point last evaluated, null where it was not flown there. */
  outcome(flight: number): string | null {
    return this.flew ? this.runs[this.program.flightPlace[flight]!]!.outcome : null
  }

  /** The inputs and fitted curves that flight f of the model was last flown with, in its node's order: good until the next evaluation. */
  flownWith(flight: number): Pick<FlightContext, 'inputs' | 'curves'> {
    return this.runs[this.program.flightPlace[flight]!]!.flownWith
  }

  private runAlgebra(x: Float64Array, slopes: boolean): void {
    const { algebra, flown, leverSlots } = this.program
    if (x.length !== this.free.length) throw new Error(`${x.length} values for ${this.free.length} free levers`)
    this.refresh()
    for (let l = 0; l < this.pins.length; l++) this.values[leverSlots[l]!] = this.pins[l]!
    for (let lane = 0; lane < x.length; lane++) this.values[leverSlots[this.free[lane]!]!] = x[lane]!
    this.slopes.steep = -1
    this.run(algebra, flown, slopes)
  }

  private run(from: Slot, to: Slot, slopes: boolean): void {
    const { tape } = this.program
    runValues(tape, this.values, from, to, this.overrides, this.airAt)
    if (slopes) runSlopes(tape, this.slopes, from, to, this.overrides, this.airAt)
  }

  /** Room for the slopes, and a one in each free lever's own lane. */
  private arrangeLanes(): void {
    const { tape, leverSlots } = this.program
    const lanes = this.free.length
    const rows = new Float64Array(tape.rows * lanes)
    this.free.forEach((lever, lane) => {
      rows[tape.row[leverSlots[lever]!]! * lanes + lane] = 1
    })
    this.slopes.lanes = lanes
    this.slopes.rows = rows
    for (const run of this.runs) run.arrange(this.free)
  }
}

/** The air of the program's bodies, with their numbers taken from the slots. */
function airOf({ parts, tape }: Program): AirAt {
  const numbers = tape.airs.map(use => new Float64Array(use.numbers.length))
  return (use, altitude, values, out) => {
    const { body, property, numbers: slots } = tape.airs[use]!
    const filled = numbers[use]!
    for (let k = 0; k < slots.length; k++) filled[k] = slots[k] === -1 ? Number.NaN : values[slots[k]!]!
    parts.air(body, filled, property, altitude, out)
  }
}
