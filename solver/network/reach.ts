import type { FlightCode } from './program.ts'
import { OP, operands, type Slot, type Tape } from './tape.ts'

/**
 * Which levers reach each row of slopes, and with it which reach each flight. One pass: operands come before their readers.
 * Gives the flights with `levers` and `stiff` filled in.
 */
export function reachOf(
  tape: Tape,
  leverSlots: Int32Array,
  flights: readonly FlightCode[],
): { reach: Uint32Array; words: number; flights: FlightCode[] } {
  const words = Math.max(1, (leverSlots.length + 31) >> 5)
  const reach = new Uint32Array(tape.rows * words)
  const { op, a, b, c, row } = tape
  const join = (to: Slot, from: Slot): void => {
    for (let w = 0; w < words; w++) reach[row[to]! * words + w]! |= reach[row[from]! * words + w]!
  }
  leverSlots.forEach((slot, l) => {
    reach[row[slot]! * words + (l >> 5)]! |= 1 << (l & 31)
  })
  let flight = 0
  const flightOf = new Map<number, Slot>()
  for (let i = 0; i < tape.length; i++) {
    if (row[i] === 0) {
      if (op[i] === OP.fly) flight++
      continue
    }
    const count = operands(op[i]!)
    if (count > 0) join(i, a[i]!)
    if (count > 1) join(i, b[i]!)
    if (count > 2) join(i, c[i]!)
    if (op[i] === OP.air) for (const number of tape.airs[b[i]!]!.numbers) if (number !== -1) join(i, number)
    if (op[i] === OP.fly) {
      flightOf.set(a[i]!, i)
      const { inputs, functions } = flights[flight++]!
      for (const input of inputs) join(i, input)
      for (const { from } of functions) for (const input of from) join(i, input)
    }
    if (op[i] === OP.flown) join(i, flightOf.get(a[i]!)!)
  }
  const levers = [...leverSlots.keys()]
  const has = (slot: Slot, l: number) => (reach[row[slot]! * words + (l >> 5)]! >>> (l & 31)) & 1
  return {
    reach,
    words,
    flights: flights.map(({ node, at, inputs, rowOf, functions, outputs, outputRow, outputNames, wanted, extent }) => {
      const reached = levers.filter(l => has(at, l))
      const stiff = levers.filter(l => node.rigid.some(input => has(inputs[input]!, l)))
      return {
        node,
        at,
        inputs,
        rowOf,
        functions,
        outputs,
        outputRow,
        outputNames,
        levers: reached,
        stiff,
        wanted,
        extent,
      }
    }),
  }
}
