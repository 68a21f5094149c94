import { backward, type Findings } from './backward.ts'
import { coneOf } from './cone.ts'
import { forward, type Intervals, type Known } from './forward.ts'
import { impose } from './musts.ts'
import { slotsOf } from './program.ts'
import { OP, type Slot } from './tape.ts'

/** A lever's width must shrink to less than this share in some round for another round to be worth it. */
const LEAST_PROGRESS = 0.98
const MOST_ROUNDS = 100

/** What a sweep narrows within. `settings[l]` are a stepped lever's, null where any value will do. */
export interface Task {
  readonly known: Known
  readonly musts: readonly number[]
  readonly scales: Float64Array
  readonly settings: readonly (Float64Array | null)[]
}

/**
 * Narrows the intervals by the musts (forward–backward contraction, HC4-revise: Benhamou, Goualard, Granvilliers & Puget, ICLP 1999),
 * in rounds over the slots that the musts hang on, each instruction run only where something it reads has changed, until a round
 * narrows no lever by a fiftieth. Intervals only shrink. False: the musts cannot all be met inside the intervals given.
 */
export function contract(task: Task, box: Intervals): boolean {
  const { known, musts, scales } = task
  const { program, overrides } = known
  if (musts.length === 0) return settle(task, box, (slot, low, high) => shrink(box, slot, low, high))
  const targets = musts.map(t => program.targets[t]!)
  const cone = coneOf(program, targets.flatMap(slotsOf))
  const agenda = new Agenda(program.tape.length, box)
  const narrow: Findings['narrow'] = (slot, low, high) => agenda.narrow(slot, low, high)
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const before = widths(task, box)
    if (!settle(task, box, narrow)) return false
    sweepForward(known, box, cone, agenda)
    for (const [k, t] of musts.entries()) impose(targets[k]!, scales[t]!, box, agenda)
    for (let k = cone.length - 1; k >= 0; k--) {
      const slot = cone[k]!
      if (agenda.needed[slot] === 0) continue
      if (box.low[slot]! > box.high[slot]!) return false
      if (agenda.wantsBackward(program.tape, slot)) backward(program, overrides, box, slot, agenda)
    }
    if (!settle(task, box, narrow)) return false
    const needs = agenda.needs
    agenda.needs = 0
    if (needs === 0 && !progress(before, widths(task, box))) return true
  }
  return true
}

/** Works out the intervals of some slots from those before them, as far as something has changed. */
function sweepForward(known: Known, box: Intervals, slots: Int32Array, agenda: Agenda): void {
  const { tape } = known.program
  for (let k = 0; k < slots.length; k++) {
    const slot = slots[k]!
    if (!agenda.wantsForward(tape, slot)) continue
    const ends = forward(known, box, slot)
    agenda.narrow(slot, ends[0]!, ends[1]!)
  }
}

/** Works out the intervals of slots `from` to `to` − 1 from those before them. */
export function sweepAll(known: Known, box: Intervals, from: Slot, to: Slot): void {
  const { tape } = known.program
  for (let slot = from; slot < to; slot++) {
    if (tape.op[slot] === OP.leaf) continue
    const ends = forward(known, box, slot)
    shrink(box, slot, ends[0]!, ends[1]!)
  }
}

/** Takes the overlap of a slot's interval with another; whether it is any narrower. */
function shrink({ low, high }: Intervals, slot: Slot, least: number, most: number): boolean {
  if (!(least > low[slot]! || most < high[slot]!)) return false
  low[slot] = Math.max(low[slot]!, least)
  high[slot] = Math.min(high[slot]!, most)
  if (low[slot]! > high[slot]!) {
    low[slot] = Number.POSITIVE_INFINITY
    high[slot] = Number.NEGATIVE_INFINITY
  }
  return true
}

/** Which slots have changed since their instruction was last run either way, and which must have a value. */
export class Agenda implements Findings {
  readonly needed: Uint8Array
  /** How many slots have come to need a value since this was last set to 0. */
  needs = 0
  private readonly box: Intervals
  private readonly changed: Int32Array
  private readonly ranForward: Int32Array
  private readonly ranBackward: Int32Array
  private clock = 1

  constructor(length: number, box: Intervals) {
    this.box = box
    this.needed = new Uint8Array(length)
    this.changed = new Int32Array(length)
    this.ranForward = new Int32Array(length).fill(-1)
    this.ranBackward = new Int32Array(length).fill(-1)
  }

  narrow(slot: Slot, low: number, high: number): void {
    if (shrink(this.box, slot, low, high)) this.changed[slot] = this.clock++
  }

  need(slot: Slot): void {
    if (this.needed[slot] === 1) return
    this.needed[slot] = 1
    this.needs++
  }

  wantsForward(tape: Known['program']['tape'], slot: Slot): boolean {
    if (tape.op[slot] === OP.leaf || !this.anyChanged(tape, slot, this.ranForward[slot]!)) return false
    this.ranForward[slot] = this.clock
    return true
  }

  wantsBackward(tape: Known['program']['tape'], slot: Slot): boolean {
    const since = this.ranBackward[slot]!
    if (this.changed[slot]! <= since && !this.anyChanged(tape, slot, since)) return false
    this.ranBackward[slot] = this.clock
    return true
  }

  private anyChanged({ a, b, c, op }: Known['program']['tape'], slot: Slot, since: number): boolean {
    const { changed } = this
    if (changed[a[slot]!]! > since || since === -1) return true
    const second = b[slot]!
    if (second >= 0 && second < changed.length && changed[second]! > since) return true
    return op[slot] === OP.choose && changed[c[slot]!]! > since
  }
}

/** Moves the ends of stepped levers in to settings; false where a lever has none left. */
function settle({ known, settings }: Task, { low, high }: Intervals, narrow: Findings['narrow']): boolean {
  return known.program.leverSlots.every((slot, l) => {
    const steps = settings[l]
    if (steps) narrow(slot, steps[place(steps, low[slot]!)] ?? Number.POSITIVE_INFINITY, last(steps, high[slot]!))
    return low[slot]! <= high[slot]!
  })
}

/** The place of the first setting at or above x. */
function place(settings: Float64Array, x: number): number {
  let [low, high] = [0, settings.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (settings[middle]! < x) low = middle + 1
    else high = middle
  }
  return low
}

function last(settings: Float64Array, x: number): number {
  const at = place(settings, x)
  return settings[at] === x ? x : (settings[at - 1] ?? Number.NEGATIVE_INFINITY)
}

/** The widths of the levers' intervals. */
export function widths({ known }: Task, { low, high }: Intervals): Float64Array {
  const { leverSlots } = known.program
  const all = new Float64Array(leverSlots.length)
  for (let l = 0; l < all.length; l++) all[l] = high[leverSlots[l]!]! - low[leverSlots[l]!]!
  return all
}

function progress(before: Float64Array, after: Float64Array): boolean {
  return before.some((width, l) => after[l]! < LEAST_PROGRESS * width)
}
