import type { Intervals, Known } from './forward.ts'
import { needsScale } from './musts.ts'
import type { TargetSlots } from './program.ts'
import type { State } from './state.ts'
import { contract, sweepAll, type Task } from './sweep.ts'
import { OP } from './tape.ts'

/** What to narrow within; everything but the state has a default. */
export interface Request {
  /** Places in `Model.targets`; by default all musts. */
  readonly musts?: readonly number[]
  /** The box of the free levers; by default their ranges in the model. */
  readonly low?: Float64Array
  readonly high?: Float64Array
  /** Whether stepped levers stand on their settings (by default), or anywhere between. */
  readonly steps?: boolean
  /** The settings of the free levers, null for one without steps; by default those of the model's ranges. */
  readonly settings?: readonly (Float64Array | null)[]
}

export interface Narrowed {
  /** The box of the free levers: no point outside it meets the musts. */
  readonly low: Float64Array
  readonly high: Float64Array
  /** By id: where each quantity lies if the musts are met (infinite ends where nothing is known; lower above upper: it has no value). */
  readonly quantities: () => Intervals
  /** By slot: the same for everything on the tape. */
  readonly slots: () => Intervals
  /** By target: the size of one unit of margin where its limit may be zero, else NaN. */
  readonly scales: Float64Array
  /** Set where the musts cannot all be met: some that cannot even by themselves, none of which could be left out of the proof. */
  readonly empty: { readonly targets: readonly number[] } | null
}

/**
 * Shrinks the levers' box, and every quantity's interval, by the musts. What is cut off is proved: no point outside the box meets
 * the musts as judged (margin ≥ −1e-9; −1e-6 for `equal to` alone), computed in doubles. Flown figures are unknown but for their
 * nodes' own bounds.
 */
export function narrow(state: State, request: Request = {}): Narrowed {
  return narrowBy(contract, state, request)
}

/** A way to shrink intervals by a task's musts; false: they cannot all be met. */
export type Engine = (task: Task, box: Intervals) => boolean

/** The same by another engine; zero limits are measured by what contraction alone narrows. */
export function narrowBy(engine: Engine, state: State, request: Request): Narrowed {
  const { program } = state
  const { known, settings, musts, fresh } = prepare(state, request)
  const scales = scalesOf(known, musts, settings, fresh)
  const task: Task = { known, musts, scales, settings }
  const box = fresh()
  const open = engine(task, box)
  const of = (map: Int32Array): Intervals => ({ low: gathered(box.low, map), high: gathered(box.high, map) })
  let swept = !open
  // What the musts do not hang on is worked out when it is asked for.
  const slots = (): Intervals => {
    if (!swept) sweepAll(known, box, 0, box.low.length)
    swept = true
    return box
  }
  const { low, high } = of(state.free.map(l => program.leverSlots[l]!))
  const empty = open ? null : { targets: culprits(engine, task, fresh) }
  const quantities = (): Intervals => {
    slots()
    return of(program.slots)
  }
  return { low, high, scales, empty, slots, quantities }
}

/** The parts of a narrowing task; `fresh` makes new intervals with nothing but constants, the box and the pins in them. */
function prepare(state: State, { musts, low, high, steps = true, settings }: Request) {
  const { program, values, overrides, free } = state
  state.refresh()
  const known: Known = { program, values, overrides }
  const { leverSlots, levers, model, tape } = program
  const ranges = levers.map(id => {
    const quantity = model.quantities[id]!
    if (quantity.role !== 'lever') throw new Error(`quantity ${id} is no lever`)
    return quantity.range
  })
  const fresh = (): Intervals => {
    const box = unknown(tape.length)
    for (let i = 0; i < tape.length; i++) {
      if (tape.op[i] === OP.leaf && tape.row[i] === 0) box.low[i] = box.high[i] = tape.initial[i]!
    }
    leverSlots.forEach((slot, l) => {
      const lane = free.indexOf(l)
      box.low[slot] = lane === -1 ? state.pinned(l) : (low?.[lane] ?? ranges[l]!.from)
      box.high[slot] = lane === -1 ? state.pinned(l) : (high?.[lane] ?? ranges[l]!.to)
    })
    return box
  }
  return {
    known,
    musts: musts ?? [...program.targets.keys()].filter(t => program.targets[t]!.level === 'must'),
    settings: ranges.map((range, l) => {
      const lane = free.indexOf(l)
      if (!steps || lane === -1) return null
      return settings ? settings[lane]! : range.settings
    }),
    fresh,
  }
}

function unknown(length: number): Intervals {
  return {
    low: new Float64Array(length).fill(Number.NEGATIVE_INFINITY),
    high: new Float64Array(length).fill(Number.POSITIVE_INFINITY),
  }
}

/** The numbers in some slots. */
function gathered(from: Float64Array, slots: Int32Array): Float64Array {
  const all = new Float64Array(slots.length)
  for (let k = 0; k < all.length; k++) all[k] = from[slots[k]!]!
  return all
}

/**
 * Where a limit may be zero, one unit of margin is the width of the value's interval, narrowed by the musts whose limit is not zero
 * (1 SI unit where that is infinite or nothing).
 */
function scalesOf(
  known: Known,
  musts: readonly number[],
  settings: Task['settings'],
  fresh: () => Intervals,
): Float64Array {
  const { targets } = known.program
  const scales = new Float64Array(targets.length).fill(Number.NaN)
  const asked = targets.map(target => mayBeZero(target, known))
  if (!asked.includes(true)) return scales
  const box = fresh()
  sweepAll(known, box, 0, box.low.length)
  const zero = targets.map((target, t) => asked[t]! && needsScale(target, box))
  if (contract({ known, musts: musts.filter(t => !zero[t]), scales, settings }, box))
    sweepAll(known, box, 0, box.low.length)
  targets.forEach(({ value }, t) => {
    const width = box.high[value]! - box.low[value]!
    if (zero[t]) scales[t] = width > 0 && Number.isFinite(width) ? width : 1
  })
  return scales
}

/** Whether a target's limit is zero, or hangs on a lever and may be. */
function mayBeZero({ low, high }: TargetSlots, { program, values }: Known): boolean {
  const limit = low === -1 ? high : low
  return limit >= program.algebra || values[limit] === 0
}

/** Musts that are already too many by themselves: parts of the list are left out, ever smaller ones, as long as the proof holds. */
function culprits(engine: Engine, task: Task, fresh: () => Intervals): number[] {
  let kept = [...task.musts]
  for (let size = kept.length >> 1 || 1; ; size = size >> 1) {
    for (let at = kept.length; at > 0; at -= size) {
      const from = Math.max(0, at - size)
      const without = [...kept.slice(0, from), ...kept.slice(at)]
      if (!engine({ ...task, musts: without }, fresh())) kept = without
    }
    if (size === 1) return kept
  }
}
