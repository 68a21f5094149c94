import { constantCurve, fitCurve } from './curve.ts'
import { type Accuracy, EXTENTS, type Extent, type FittedCurve, type FlightContext } from './node.ts'
import type { FlightCode, FunctionCode } from './program.ts'
import { runSlopes, type Slopes } from './slopes.ts'
import { differences } from './stiff.ts'
import { runValues } from './values.ts'

type Mutable<T> = { -readonly [K in keyof T]: T[K] }

/** One flight of an open sheet: its inputs gathered from the slots, its figures put back, and the last run kept while nothing changes. */
export class FlightRun {
  outcome: string | null = null
  private readonly code: FlightCode
  private readonly functions: readonly FunctionRun[]
  private readonly context: Mutable<FlightContext>
  /** Lanes of the state that reach this flight, and which of the flight's own lanes need differences. */
  private lanes = new Int32Array(0)
  private stiff: number[] = []
  private known: 'nothing' | 'values' | 'slopes' = 'nothing'
  /** The most that any of its outputs asks for. */
  private readonly farthest: number
  /** The inputs that `lifts` is asked at. */
  private readonly asked: Float64Array

  constructor(code: FlightCode) {
    this.asked = new Float64Array(code.inputs.length)
    this.code = code
    this.farthest = Math.max(...code.node.outputs.map(({ extent }) => EXTENTS.indexOf(extent ?? 'plain')))
    this.functions = code.functions.map(it => new FunctionRun(it))
    this.context = {
      inputs: new Float64Array(code.inputs.length),
      inputSlopes: new Float64Array(0),
      lanes: 0,
      accuracy: 'loose',
      extent: 'plain',
      usual: code.extent,
      curves: [],
      outputs: new Float64Array(code.outputs.length),
      outputSlopes: new Float64Array(0),
    }
  }

  /** Takes the state's free levers: only those that reach the flight get a lane of its own. */
  arrange(free: Int32Array): void {
    const { levers, stiff } = this.code
    this.lanes = Int32Array.from([...free.keys()].filter(lane => levers.includes(free[lane]!)))
    this.stiff = [...this.lanes.keys()].filter(own => stiff.includes(free[this.lanes[own]!]!))
    this.context.inputSlopes = new Float64Array(this.code.inputs.length * this.lanes.length)
    this.context.outputSlopes = new Float64Array(this.code.outputs.length * this.lanes.length)
    for (const it of this.functions) it.arrange(this.lanes.length)
    this.forget()
  }

  forget(): void {
    this.known = 'nothing'
    for (const it of this.functions) it.forget()
  }

  /** What it was last flown with: good until the next evaluation. */
  get flownWith(): Pick<FlightContext, 'inputs' | 'curves'> {
    return this.context
  }

  /** Leaves the figures without a value: not asked for, or an input has none. */
  skip(values: Float64Array): number {
    this.outcome = null
    this.forget()
    for (const slot of this.code.outputs) values[slot] = Number.NaN
    return 0
  }

  /** Flies at the slots' values, unless that was done just before, and puts the figures in their slots. Gives the flights' worth of work. */
  fly(values: Float64Array, slopes: Slopes, withSlopes: boolean, accuracy: Accuracy, extent: Extent): number {
    const { context, code } = this
    let same = context.accuracy === accuracy && this.known !== 'nothing' && (this.known === 'slopes' || !withSlopes)
    if (context.extent !== extent && EXTENTS.indexOf(context.extent) < Math.min(EXTENTS.indexOf(extent), this.farthest))
      same = false
    if (this.gather(values)) same = false
    for (let k = 0; k < context.inputs.length; k++) if (!Number.isFinite(context.inputs[k]!)) return this.skip(values)
    if (withSlopes && this.gatherSlopes(slopes)) same = false
    let bent = context.curves.length !== this.functions.length
    for (const it of this.functions) if (it.update(values, slopes, withSlopes, this.lanes)) bent = true
    if (bent) same = false
    let work = 0
    if (!same) {
      context.accuracy = accuracy
      context.extent = extent
      context.lanes = withSlopes ? this.lanes.length : 0
      if (bent) context.curves = this.functions.map(it => it.curve)
      const report = code.node.run(context)
      this.outcome = report.outcome
      this.known = withSlopes ? 'slopes' : 'values'
      work = report.work
      if (withSlopes && this.stiff.length > 0) work += differences(code.node, context, this.stiff)
    }
    this.scatter(values, slopes, withSlopes)
    return work
  }

  /** Whether it leaves the pad; true where its inputs are not known without another flight. */
  lifts(values: Float64Array): boolean {
    const { asked } = this
    const { inputs, node } = this.code
    for (let k = 0; k < asked.length; k++) {
      asked[k] = values[inputs[k]!]!
      if (Number.isNaN(asked[k])) return true
    }
    return node.lifts(asked)
  }

  private gather(values: Float64Array): boolean {
    return copy(this.code.inputs, values, this.context.inputs)
  }

  private gatherSlopes({ lanes, rows }: Slopes): boolean {
    const { inputs, rowOf } = this.code
    const to = this.context.inputSlopes
    const own = this.lanes.length
    let changed = false
    for (let k = 0; k < inputs.length; k++) {
      const from = rowOf[k]! * lanes
      for (let l = 0; l < own; l++) {
        const slope = rows[from + this.lanes[l]!]!
        if (to[k * own + l] === slope) continue
        to[k * own + l] = slope
        changed = true
      }
    }
    return changed
  }

  private scatter(values: Float64Array, { lanes, rows }: Slopes, withSlopes: boolean): void {
    const { outputs, outputRow } = this.code
    const { outputs: figures, outputSlopes } = this.context
    const own = this.lanes.length
    for (let k = 0; k < outputs.length; k++) {
      values[outputs[k]!] = figures[k]!
      if (!withSlopes) continue
      const to = outputRow[k]! * lanes
      for (let l = 0; l < own; l++) rows[to + this.lanes[l]!] = outputSlopes[k * own + l]!
    }
  }
}

/** Copies slots; whether any differs from what was there. */
function copy(slots: Int32Array, from: Float64Array, to: Float64Array): boolean {
  let changed = false
  for (let k = 0; k < slots.length; k++) {
    const value = from[slots[k]!]!
    if (to[k] === value) continue
    to[k] = value
    changed = true
  }
  return changed
}

/** A local function of an open sheet: its side tape's numbers, and the curve last fitted. */
class FunctionRun {
  curve: FittedCurve
  private readonly code: FunctionCode
  private readonly values: Float64Array
  private readonly imports: Float64Array
  private importSlopes = new Float64Array(0)
  private slopes: Slopes
  private known: 'nothing' | 'values' | 'slopes' = 'nothing'
  private readonly overrides: Float64Array

  constructor(code: FunctionCode) {
    this.code = code
    this.values = code.tape.initial.slice()
    this.imports = new Float64Array(code.from.length)
    this.slopes = { lanes: 0, rows: new Float64Array(0), values: this.values, steep: -1 }
    this.overrides = new Float64Array(code.tape.length).fill(Number.NaN)
    this.curve = constantCurve(Number.NaN, new Float64Array(0))
  }

  arrange(lanes: number): void {
    const { tape, from } = this.code
    this.importSlopes = new Float64Array(from.length * lanes)
    this.slopes = { lanes, rows: new Float64Array(tape.rows * lanes), values: this.values, steep: -1 }
    this.forget()
  }

  forget(): void {
    this.known = 'nothing'
  }

  /** Fits the curve at the slots' values, unless they are those of the last time; whether it is a new one. */
  update(values: Float64Array, main: Slopes, withSlopes: boolean, lanes: Int32Array): boolean {
    const { from, constant } = this.code
    let same = this.known === 'slopes' || (this.known === 'values' && !withSlopes)
    if (copy(from, values, this.imports)) same = false
    if (withSlopes && this.copySlopes(main, lanes)) same = false
    if (same) return false
    this.known = withSlopes ? 'slopes' : 'values'
    const own = withSlopes ? lanes.length : 0
    this.curve = constant === -1 ? this.fit(own) : constantCurve(this.imports[0]!, this.importSlopes.subarray(0, own))
    return true
  }

  private copySlopes({ lanes, rows }: Slopes, own: Int32Array): boolean {
    let changed = false
    this.code.fromRow.forEach((row, k) => {
      own.forEach((lane, l) => {
        const slope = rows[row * lanes + lane]!
        if (this.importSlopes[k * own.length + l] === slope) return
        this.importSlopes[k * own.length + l] = slope
        changed = true
      })
    })
    return changed
  }

  private fit(own: number): FittedCurve {
    const { tape, argument, result, to, breaks } = this.code
    const { values, slopes, overrides, importSlopes, imports } = this
    to.forEach((slot, k) => {
      values[slot] = imports[k]!
      const at = tape.row[slot]!
      if (at > 0) for (let l = 0; l < own; l++) slopes.rows[at * slopes.lanes + l] = importSlopes[k * own + l]!
    })
    const row = tape.row[result]! * slopes.lanes
    return fitCurve(
      (x, out) => {
        values[argument] = x
        runValues(tape, values, 0, tape.length, overrides, null)
        out[0] = values[result]!
        if (own === 0) return
        runSlopes(tape, slopes, 0, tape.length, overrides, null)
        for (let l = 0; l < own; l++) out[l + 1] = slopes.rows[row + l]!
      },
      breaks,
      own,
    )
  }
}
