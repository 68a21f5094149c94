import { type Builder, finish, PHASE } from './builder.ts'
import { type Draft, lower, lowerSide, type SideDraft, side } from './lower.ts'
import { EXTENTS, type Extent, type FlightNode, type Parts } from './node.ts'
import type { FlightCode, FunctionCode } from './program.ts'
import { OP, type Slot, type Tape } from './tape.ts'

/** What a flight's code is before the tape is sorted. */
export interface FlightDraft {
  readonly node: FlightNode
  readonly at: Slot
  readonly inputs: readonly Slot[]
  readonly functions: readonly { constant: Slot; onto: SideDraft; result: Slot; breaks: readonly number[] }[]
  readonly outputs: readonly Slot[]
}

/** Writes what a flight reads, its `fly` instruction and its outputs. */
export function placeFlight(draft: Draft, parts: Parts, place: number): FlightDraft {
  const { main, model } = draft
  const node = parts.node(model.flights[place]!, place)
  const inputs = node.inputs.map(expr => lower(draft, expr))
  const functions = node.functions.map(({ body, breaks }) => {
    const onto = side()
    const result = lowerSide(draft, onto, body)
    const imports = [...onto.imports]
    const alone = imports.length === 1 && imports[0]![1] === result ? imports[0]![0] : -1
    return { constant: alone, onto, result, breaks }
  })
  const read = [...inputs, ...functions.flatMap(({ onto }) => [...onto.imports.keys()])]
  const free = read.some(slot => main.free[slot] === 1) ? 1 : 0
  const at = main.own(OP.fly, place, -1, PHASE.flown, free)
  return {
    node,
    at,
    inputs,
    functions,
    outputs: node.outputs.map((_, o) => main.own(OP.flown, place, o, PHASE.flown, free)),
  }
}

/** What some slots hang on, found by walking back; operands of a flight are its inputs and imports. */
function behind(main: Builder, roots: readonly Slot[], flights: ReadonlyMap<number, FlightDraft>): Set<Slot> {
  const seen = new Set(roots.filter(slot => slot !== -1))
  for (const slot of seen) {
    const op = main.op[slot]!
    if (op === OP.flown) seen.add(flights.get(main.a[slot]!)!.at)
    else if (op === OP.fly) {
      const { inputs, functions } = flights.get(main.a[slot]!)!
      for (const input of inputs) seen.add(input)
      for (const { onto } of functions) for (const input of onto.imports.keys()) seen.add(input)
    } else {
      for (const operand of main.operandsOf(slot)) seen.add(operand)
    }
  }
  return seen
}

/** The flights that some slots hang on, with how far each must be flown for them. */
export function wantedFlights(
  main: Builder,
  roots: readonly Slot[],
  flights: ReadonlyMap<number, FlightDraft>,
): Map<number, Extent> {
  const seen = behind(main, roots, flights)
  const wanted = new Map<number, Extent>()
  for (const [flight, { at, outputs, node }] of flights) {
    if (!seen.has(at)) continue
    const places = outputs.map((slot, o) => (seen.has(slot) ? EXTENTS.indexOf(node.outputs[o]!.extent ?? 'plain') : 0))
    wanted.set(flight, EXTENTS[Math.max(0, ...places)]!)
  }
  return wanted
}

/** A flight's code on the sorted tape; which levers reach it is filled in by `reachOf`. */
export function flightCode(it: FlightDraft, tape: Tape, moved: Int32Array, extent: Extent | null): FlightCode {
  const to = (slot: Slot): Slot => (slot === -1 ? -1 : moved[slot]!)
  const outputs = Int32Array.from(it.outputs, to)
  return {
    node: it.node,
    at: moved[it.at]!,
    inputs: Int32Array.from(it.inputs, to),
    rowOf: Int32Array.from(it.inputs, slot => tape.row[to(slot)]!),
    functions: it.functions.map(({ constant, onto, result, breaks }): FunctionCode => {
      const done = finish(onto.builder)
      const imports = [...onto.imports]
      return {
        constant: to(constant),
        tape: done.tape,
        argument: done.moved[onto.argument]!,
        result: done.moved[result]!,
        from: Int32Array.from(imports, ([slot]) => moved[slot]!),
        fromRow: Int32Array.from(imports, ([slot]) => tape.row[moved[slot]!]!),
        to: Int32Array.from(imports, ([, slot]) => done.moved[slot]!),
        breaks,
      }
    }),
    outputs,
    outputRow: outputs.map(slot => tape.row[slot]!),
    outputNames: new Map(it.node.outputs.map(({ name }, o) => [name, outputs[o]!])),
    levers: [],
    stiff: [],
    wanted: extent !== null,
    extent: extent ?? 'plain',
  }
}
