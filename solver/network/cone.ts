import type { Program } from './program.ts'
import { OP, operands, type Slot } from './tape.ts'

/** What a cone is taken from. */
export type Coned = Pick<Program, 'tape' | 'flights' | 'flightPlace'>

/** All slots that some slots hang on, themselves included, in order: what a sweep for them must visit. */
export function coneOf({ tape, flights, flightPlace }: Coned, roots: readonly Slot[]): Int32Array {
  const inside = new Uint8Array(tape.length)
  let last = -1
  const enter = (slot: Slot): void => {
    inside[slot] = 1
    if (slot > last) last = slot
  }
  for (const slot of roots) if (slot !== -1) enter(slot)
  let count = 0
  for (let i = last; i >= 0; i--) {
    if (inside[i] === 0) continue
    count++
    const op = tape.op[i]!
    const read = operands(op)
    if (read > 0) enter(tape.a[i]!)
    if (read > 1) enter(tape.b[i]!)
    if (read > 2) enter(tape.c[i]!)
    if (op === OP.air) for (const slot of tape.airs[tape.b[i]!]!.numbers) if (slot !== -1) enter(slot)
    if (op === OP.flown) for (const slot of flights[flightPlace[tape.a[i]!]!]!.inputs) enter(slot)
  }
  const cone = new Int32Array(count)
  for (let i = 0, at = 0; i <= last; i++) if (inside[i] === 1) cone[at++] = i
  return cone
}
