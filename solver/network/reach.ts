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
  const nodeOf = new Map(flights.map(({ at, node }) => [at, node]))
  let flight = 0
  const flightOf = new Map<number, Slot>()
  /** What reaches the ascent of each flight. */
  const ascents = new Map<number, Uint32Array>()
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
      const { node, inputs, functions } = flights[flight++]!
      const late = new Set(node.late)
      inputs.forEach((input, place) => {
        if (!late.has(place)) join(i, input)
      })
      for (const { from } of functions) for (const input of from) join(i, input)
      ascents.set(a[i]!, reach.slice(row[i]! * words, (row[i]! + 1) * words))
      for (const place of late) join(i, inputs[place]!)
    }
    if (op[i] === OP.flown) {
      const at = flightOf.get(a[i]!)!
      const { extent = 'plain' } = nodeOf.get(at)!.outputs[b[i]!]!
      if (extent === 'plain' || extent === 'ascent')
        ascents.get(a[i]!)!.forEach((word, w) => {
          reach[row[i]! * words + w]! |= word
        })
      else join(i, at)
    }
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
