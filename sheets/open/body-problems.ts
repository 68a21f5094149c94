import { error, type Problem } from '../../grammar/source.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { whySlot } from '../../solver/index.ts'
import { unitFor } from './answer-quantities.ts'
import { dimensionOf } from './kinds.ts'
import type { Session } from './session.ts'
import { BODY_SLOTS } from './slots.ts'

/** May be anything finite: where space is said to begin. */
const FREE = 'space boundary'
/** May be zero: air that weighs nothing is none. */
const NOT_BELOW: readonly string[] = ['surface pressure', 'surface density']

/** What of a body's numbers cannot be, whatever the levers: each at its own line. */
export function bodyProblems({ state, compiled }: Session): readonly (Problem & { readonly place: number })[] {
  return compiled.bodyNumbers.flatMap(({ body, place, slot, expr, span }, index) => {
    const at = compiled.bodySlots[index]!
    const value = state.values[at]!
    const zero = NOT_BELOW.includes(slot)
    if (at >= state.program.algebra) return []
    // What arises in a quantity is told there.
    if (Number.isNaN(value) && (whySlot(state, at)?.id ?? null) !== null) return []
    if (Number.isFinite(value) && (slot === FREE || value > 0 || (zero && value === 0))) return []
    const { unit } = BODY_SLOTS.find(({ name }) => name === slot)!
    const told = Number.isFinite(value)
      ? `is ${formatQuantity(value, unitFor({ dimension: dimensionOf(unit), unit: null, figure: null }, value), 6)}`
      : 'has no finite value'
    const wanted = slot === FREE ? 'a finite altitude' : zero ? 'zero or above' : 'above zero'
    return [
      {
        ...error(
          span,
          `The ${slot} of "${body}" ${told}; it must be ${wanted}.`,
          expr.op === 'const'
            ? `Give it a value ${zero ? 'of ' : ''}${wanted}.`
            : 'Look at the facts it is worked out from.',
        ),
        place,
      },
    ]
  })
}
