import type { Range } from '../model/model.ts'
import { coneOf } from './cone.ts'
import { isDefined } from './defined.ts'
import { forward, type Known } from './forward.ts'
import { boxOver } from './ranges-box.ts'
import type { State } from './state.ts'

/** Whether no late input of any flight can make a fault anywhere in the ranges of the free levers: proved by intervals. */
export function lateIsSound(state: State, ranges: readonly Range[]): boolean {
  const { program, values, overrides } = state
  const late = program.flights.flatMap(({ node, inputs }) =>
    (node.late ?? []).map(({ input, least }) => ({ slot: inputs[input]!, least })),
  )
  if (late.length === 0) return true
  state.refresh()
  const known: Known = { program, values, overrides }
  const box = boxOver(state, ranges)
  const sure = new Uint8Array(program.tape.length)
  for (const slot of coneOf(
    program,
    late.map(each => each.slot),
  )) {
    const ends = forward(known, box, slot)
    box.low[slot] = ends[0]!
    box.high[slot] = ends[1]!
    if (isDefined(known, box, sure, slot)) sure[slot] = 1
  }
  return late.every(({ slot, least }) => sure[slot] === 1 && box.low[slot]! >= least)
}
