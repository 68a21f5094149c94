import type { Id } from '../model/expr.ts'
import type { FlightCode, Program } from './program.ts'
import type { State } from './state.ts'
import { OP, operands, type Slot } from './tape.ts'

/** Why a slot has no value: what went wrong first, and where. */
export interface Reason {
  readonly kind:
    | 'division by zero'
    | 'root of a negative number'
    | 'logarithm of zero or less'
    | 'arc sine or cosine outside −1 to 1'
    | 'power of a negative number'
    | 'power of zero'
    | 'infinite minus infinite'
    | 'too large'
    | 'no air there'
    | 'no such body'
    | 'not flown'
    | 'the flight has none'
    | 'infinite input'
    | 'no value set'
  /** The quantity in whose expression it arose; null: in a target or an aim itself. */
  readonly id: Id | null
  /** The flight (its place in the model) and output, where it arose there. */
  readonly flight?: number
  readonly output?: string
}

/** Why a quantity has no value after the last evaluation; null where it has one, infinite ones that a flight gave included. */
export function whyNone(state: State, id: Id): Reason | null {
  return whySlot(state, state.program.slots[id]!)
}

/** The same for any slot: of a target's value or limit, say. */
export function whySlot(state: State, slot: Slot): Reason | null {
  const { program, values } = state
  if (!Number.isNaN(values[slot])) return null
  const origin = originOf(state, slot)
  const owner = program.owner[origin]!
  const id = owner === -1 ? null : owner
  const { op, a, b } = program.tape
  if (op[origin] === OP.flown) {
    const flight = a[origin]!
    const { node } = flightOf(program, flight)
    const kind = state.outcome(flight) !== null ? 'the flight has none' : infiniteInput(state, flight)
    return { kind, id, flight, output: node.outputs[b[origin]!]!.name }
  }
  return { kind: op[origin] === OP.air ? airKind(program, values, origin) : kindAt(program, values, origin), id }
}

/** Walks back to the first slot without a value all of whose own operands have one; the branch not taken is not asked. */
function originOf({ program, values }: State, slot: Slot): Slot {
  const { op, a, b, c, airs } = program.tape
  let at = slot
  for (;;) {
    const code = op[at]!
    const count = operands(code)
    let read = [a[at]!, b[at]!, c[at]!].slice(0, count)
    if (code === OP.choose) {
      const test = values[a[at]!]!
      read = Number.isNaN(test) ? [a[at]!] : [test === 1 ? b[at]! : c[at]!]
    }
    if (code === OP.flown) read.push(...flightOf(program, a[at]!).inputs)
    if (code === OP.air) read.push(...[...airs[b[at]!]!.numbers].filter(number => number !== -1))
    const next = read.find(operand => Number.isNaN(values[operand]))
    if (next === undefined) return at
    at = next
  }
}

function flightOf({ flights, flightPlace }: Program, flight: number): FlightCode {
  return flights[flightPlace[flight]!]!
}

function infiniteInput({ program, values }: State, flight: number): Reason['kind'] {
  const inputs = [...flightOf(program, flight).inputs]
  return inputs.some(slot => Math.abs(values[slot]!) === Number.POSITIVE_INFINITY) ? 'infinite input' : 'not flown'
}

/** Gravity at the ground is what every body has. */
function airKind({ tape, parts }: Program, values: Float64Array, slot: Slot): Reason['kind'] {
  const { body, numbers } = tape.airs[tape.b[slot]!]!
  const ground = new Float64Array(2)
  const given = Float64Array.from(numbers, each => (each === -1 ? Number.NaN : values[each]!))
  parts.air(body, given, 'gravity', 0, ground)
  return Number.isNaN(ground[0]) ? 'no such body' : 'no air there'
}

function kindAt({ tape }: Program, values: Float64Array, slot: Slot): Reason['kind'] {
  const x = values[tape.a[slot]!]!
  const y = values[tape.b[slot]!]!
  switch (tape.op[slot]) {
    case OP.div:
      return y === 0 ? 'division by zero' : Number.isFinite(x) ? 'too large' : 'infinite minus infinite'
    case OP.sqrt:
      return 'root of a negative number'
    case OP.ln:
    case OP.log10:
      return 'logarithm of zero or less'
    case OP.asin:
    case OP.acos:
      return 'arc sine or cosine outside −1 to 1'
    case OP.pow:
      if (x === 0) return 'power of zero'
      return x < 0 && !Number.isInteger(y) ? 'power of a negative number' : 'too large'
    case OP.leaf:
      return 'no value set'
    case OP.add:
    case OP.sub:
    case OP.mul:
      return Number.isFinite(x) && Number.isFinite(y) ? 'too large' : 'infinite minus infinite'
    default:
      return Number.isFinite(x) ? 'too large' : 'infinite minus infinite'
  }
}
