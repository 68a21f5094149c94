import type { Curve } from '../model/expr.ts'
import { type AirUse, OP, operands, type Slot, type Tape } from './tape.ts'

/** When a slot is worked out: once per change of the facts, at every point, or after a flight. */
export const PHASE = { facts: 0, algebra: 1, flown: 2 } as const

/**
 * A growing tape. Instructions pushed twice are shared, found by a hash table on plain arrays
 * (open addressing, doubled when half full), for a sheet may hold 100,000 of them.
 */
export class Builder {
  length = 0
  op = new Uint8Array(64)
  a = new Int32Array(64)
  b = new Int32Array(64)
  c = new Int32Array(64)
  phase = new Uint8Array(64)
  /** 1 where a lever reaches the slot. */
  free = new Uint8Array(64)
  initial = new Float64Array(64)
  readonly curves: Curve[] = []
  readonly airs: AirUse[] = []
  private readonly constants = new Map<number, Slot>()
  private table = new Int32Array(1024).fill(-1)
  private shared = 0

  /** A slot that is set from outside. */
  leaf(phase: number, free: boolean, initial = 0): Slot {
    return this.append(OP.leaf, -1, -1, -1, phase, free ? 1 : 0, initial)
  }

  constant(value: number): Slot {
    const known = Object.is(value, -0) ? undefined : this.constants.get(value)
    if (known !== undefined) return known
    const slot = this.leaf(PHASE.facts, false, value)
    if (!Object.is(value, -0)) this.constants.set(value, slot)
    return slot
  }

  /** An instruction of its own, never shared. */
  own(op: number, a: number, b: number, phase: number, free: number): Slot {
    return this.append(op, a, b, -1, phase, free, 0)
  }

  /** An instruction, or the earlier slot that does the same. */
  push(op: number, a: Slot, b = -1, c = -1): Slot {
    if ((op === OP.add || op === OP.mul) && a > b) return this.push(op, b, a)
    if (op === OP.mul && a === b) return this.push(OP.square, a)
    if (this.shared * 2 >= this.table.length) this.grow()
    const mask = this.table.length - 1
    let at = hash(op, a, b, c) & mask
    for (; this.table[at] !== -1; at = (at + 1) & mask) {
      const slot = this.table[at]!
      if (this.op[slot] === op && this.a[slot] === a && this.b[slot] === b && this.c[slot] === c) return slot
    }
    const count = operands(op)
    let phase = 0
    let free = 0
    for (let i = 0; i < count; i++) {
      const from = i === 0 ? a : i === 1 ? b : c
      phase = Math.max(phase, this.phase[from]!)
      free |= this.free[from]!
    }
    const slot = this.append(op, a, b, c, phase, free, 0)
    this.table[at] = slot
    this.shared++
    return slot
  }

  curve(curve: Curve, a: Slot): Slot {
    let place = this.curves.indexOf(curve)
    if (place === -1) place = this.curves.push(curve) - 1
    return this.push(OP.curve, a, place)
  }

  air(use: AirUse, a: Slot): Slot {
    const same = (other: AirUse) => other.body === use.body && other.property === use.property
    let place = this.airs.findIndex(same)
    if (place === -1) place = this.airs.push(use) - 1
    const slot = this.push(OP.air, a, place)
    for (const number of use.numbers) {
      if (number === -1) continue
      this.phase[slot] = Math.max(this.phase[slot]!, this.phase[number]!)
      this.free[slot]! |= this.free[number]!
    }
    return slot
  }

  /** The slots that an instruction reads. */
  operandsOf(slot: Slot): Slot[] {
    const op = this.op[slot]!
    const count = operands(op)
    const found: Slot[] = []
    if (count > 0) found.push(this.a[slot]!)
    if (count > 1) found.push(this.b[slot]!)
    if (count > 2) found.push(this.c[slot]!)
    if (op === OP.air) found.push(...[...this.airs[this.b[slot]!]!.numbers].filter(number => number !== -1))
    return found
  }

  private append(op: number, a: number, b: number, c: number, phase: number, free: number, initial: number): Slot {
    const slot = this.length++
    if (slot === this.op.length) this.widen()
    this.op[slot] = op
    this.a[slot] = a
    this.b[slot] = b
    this.c[slot] = c
    this.phase[slot] = phase
    this.free[slot] = free
    this.initial[slot] = initial
    return slot
  }

  private widen(): void {
    const size = 2 * this.op.length
    const wider = <T extends Uint8Array | Int32Array | Float64Array>(to: T, from: T): T => {
      to.set(from)
      return to
    }
    this.op = wider(new Uint8Array(size), this.op)
    this.a = wider(new Int32Array(size), this.a)
    this.b = wider(new Int32Array(size), this.b)
    this.c = wider(new Int32Array(size), this.c)
    this.phase = wider(new Uint8Array(size), this.phase)
    this.free = wider(new Uint8Array(size), this.free)
    this.initial = wider(new Float64Array(size), this.initial)
  }

  private grow(): void {
    const old = this.table
    this.table = new Int32Array(old.length * 2).fill(-1)
    const mask = this.table.length - 1
    for (const slot of old) {
      if (slot === -1) continue
      let at = hash(this.op[slot]!, this.a[slot]!, this.b[slot]!, this.c[slot]!) & mask
      while (this.table[at] !== -1) at = (at + 1) & mask
      this.table[at] = slot
    }
  }
}

function hash(op: number, a: number, b: number, c: number): number {
  let mixed =
    Math.imul(op + 1, 0x9e3779b1) ^ Math.imul(a, 0x85ebca6b) ^ Math.imul(b + 7, 0xc2b2ae35) ^ Math.imul(c, 0x27d4eb2f)
  mixed = Math.imul(mixed ^ (mixed >>> 15), 0x2c1b3c6d)
  return mixed ^ (mixed >>> 13)
}

/** The tape in order of phase, and where each old slot went. */
export interface Finished {
  readonly tape: Tape
  readonly moved: Int32Array
  /** The first slot of the algebra phase and of the flown phase. */
  readonly algebra: Slot
  readonly flown: Slot
}

/** Sorts the instructions by phase, keeping their order within each: operands never have a later phase than their readers. */
export function finish(builder: Builder): Finished {
  const { length } = builder
  const moved = new Int32Array(length)
  const counts = [0, 0, 0]
  for (let slot = 0; slot < length; slot++) counts[builder.phase[slot]!]!++
  const next = [0, counts[0]!, counts[0]! + counts[1]!]
  for (let slot = 0; slot < length; slot++) moved[slot] = next[builder.phase[slot]!]!++
  const op = new Uint8Array(length)
  const [a, b, c, row] = [
    new Int32Array(length),
    new Int32Array(length),
    new Int32Array(length),
    new Int32Array(length),
  ]
  const initial = new Float64Array(length)
  let rows = 1
  for (let slot = 0; slot < length; slot++) {
    const to = moved[slot]!
    const count = operands(builder.op[slot]!)
    op[to] = builder.op[slot]!
    a[to] = count > 0 ? moved[builder.a[slot]!]! : Math.max(0, builder.a[slot]!)
    b[to] = count > 1 ? moved[builder.b[slot]!]! : builder.b[slot]!
    c[to] = count > 2 ? moved[builder.c[slot]!]! : builder.c[slot]!
    initial[to] = builder.initial[slot]!
    row[to] = builder.free[slot] === 1 ? rows++ : 0
  }
  const airs = builder.airs.map(use => ({
    ...use,
    numbers: use.numbers.map(slot => (slot === -1 ? -1 : moved[slot]!)),
  }))
  const tape = { length, op, a, b, c, row, rows, initial, curves: builder.curves, airs }
  return { tape, moved, algebra: counts[0]!, flown: counts[0]! + counts[1]! }
}
