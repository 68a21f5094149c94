import { isOfAscent } from './node.ts'
import type { FlightCode } from './program.ts'
import { OP, operands, type Slot, type Tape } from './tape.ts'

/**
 * Which levers reach each row of slopes, and with it which reach each flight; `sound`: the same wherever no flight's late inputs make a fault.
 * Gives the flights with `levers` and `stiff` filled in.
 */
export function reachOf(
  tape: Tape,
  leverSlots: Int32Array,
  flights: readonly FlightCode[],
): { reach: Uint32Array; sound: Uint32Array; words: number; flights: FlightCode[] } {
  const words = Math.max(1, (leverSlots.length + 31) >> 5)
  const reach = spread(tape, leverSlots, flights, words, false)
  const levers = [...leverSlots.keys()]
  const has = (slot: Slot, l: number) => (reach[tape.row[slot]! * words + (l >> 5)]! >>> (l & 31)) & 1
  return {
    reach,
    sound: flights.some(({ node }) => node.late) ? spread(tape, leverSlots, flights, words, true) : reach,
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

/** One pass: operands come before their readers. `apart`: what comes into play late in a flight does not reach what it gives of its ascent. */
function spread(
  tape: Tape,
  leverSlots: Int32Array,
  flights: readonly FlightCode[],
  words: number,
  apart: boolean,
): Uint32Array {
  const reach = new Uint32Array(tape.rows * words)
  const { op, a, b, c, row } = tape
  const take = (to: Slot, from: Uint32Array, at: number): void => {
    for (let w = 0; w < words; w++) reach[row[to]! * words + w]! |= from[at + w]!
  }
  const join = (to: Slot, from: Slot): void => take(to, reach, row[from]! * words)
  leverSlots.forEach((slot, l) => {
    reach[row[slot]! * words + (l >> 5)]! |= 1 << (l & 31)
  })
  let next = 0
  const flightOf = new Map<number, { readonly code: FlightCode; readonly ascent: Uint32Array }>()
  for (let i = 0; i < tape.length; i++) {
    if (row[i] === 0) {
      if (op[i] === OP.fly) next++
      continue
    }
    const count = operands(op[i]!)
    if (count > 0) join(i, a[i]!)
    if (count > 1) join(i, b[i]!)
    if (count > 2) join(i, c[i]!)
    if (op[i] === OP.air) for (const number of tape.airs[b[i]!]!.numbers) if (number !== -1) join(i, number)
    if (op[i] === OP.fly) {
      const code = flights[next++]!
      const late = new Set(code.node.late?.map(({ input }) => input))
      for (const { from } of code.functions) for (const input of from) join(i, input)
      code.inputs.forEach((input, place) => {
        if (!late.has(place)) join(i, input)
      })
      flightOf.set(a[i]!, { code, ascent: reach.slice(row[i]! * words, (row[i]! + 1) * words) })
      for (const place of late) join(i, code.inputs[place]!)
    }
    if (op[i] === OP.flown) {
      const { code, ascent } = flightOf.get(a[i]!)!
      if (apart && isOfAscent(code.node.outputs[b[i]!]!)) take(i, ascent, 0)
      else join(i, code.at)
    }
  }
  return reach
}
