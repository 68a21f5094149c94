import { error, type Span } from '../../grammar/source.ts'
import type { Slot } from '../../grammar/tree.ts'
import { type Dimension, describe, isNone, same } from '../../grammar/units/dimension.ts'
import type { Expr } from '../../solver/index.ts'
import type { Checked, Surroundings } from './checked.ts'
import { elaborate } from './expression.ts'
import { dimensionOf } from './kinds.ts'
import { didYouMean, notYet } from './scope.ts'
import type { SlotEntry } from './slots.ts'

const SPEED = dimensionOf('m/s')
const TIME = dimensionOf('s')
const STANDARD_GRAVITY = 9.80665 // m/s2, 3rd CGPM (1901)

/** The written slots of a block, checked, in SI. Mistakes are reported and left out. */
export function slotValues(
  slots: readonly Slot[],
  entries: readonly SlotEntry[],
  around: Surroundings,
  local?: Surroundings,
): Map<string, Expr> {
  const values = new Map<string, Expr>()
  const seen = new Map<string, Span>()
  for (const slot of slots) {
    const name = slot.name.text
    const entry = entries.find(candidate => candidate.name === name)
    const first = seen.get(name)
    if (first) {
      around.problems.push(
        error(slot.name.span, `The ${name} is written twice in one block.`, 'Keep one of the two lines.', [
          { ...first, message: 'first written here' },
        ]),
      )
      continue
    }
    seen.set(name, slot.name.span)
    if (!entry) {
      const names = entries.map(candidate => candidate.name)
      around.problems.push(
        error(
          slot.name.span,
          `"${name}" is nothing that this block can be given.`,
          didYouMean(name, names) ?? `It takes: ${names.join(', ')}.`,
        ),
      )
      continue
    }
    if (entry.later) {
      around.problems.push(notYet(slot.name.span, `The ${name} of this block is`))
      continue
    }
    const checked = elaborate(slot.value, entry.name === 'drag coefficient' && local ? local : around)
    if (!checked) continue
    const expr = fitSlot(entry, checked, slot.value.span, around)
    if (expr) values.set(name, expr)
  }
  return values
}

/** The SI value a slot takes from a checked expression, or null after saying why it does not fit. */
export function fitSlot(entry: SlotEntry, checked: Checked, span: Span, around: Surroundings): Expr | null {
  if (entry.name === 'specific impulse') return fitImpulse(checked, span, around)
  const wanted = dimensionOf(entry.unit)
  if (same(checked.dimension, wanted)) return checked.expr
  around.problems.push(
    error(
      span,
      `The ${entry.name} is ${describe(wanted)}; this is ${describe(checked.dimension)}.`,
      mendFor(wanted, checked.dimension, entry),
    ),
  )
  return null
}

function mendFor(wanted: Dimension, found: Dimension, entry: SlotEntry): string | null {
  return isNone(found) && !isNone(wanted) ? `Write the unit after the number, such as ${entry.unit}.` : null
}

/** Specific impulse is taken in s (times standard gravity) or as a speed, m/s = N*s/kg; what comes out is the effective exhaust speed. */
function fitImpulse(checked: Checked, span: Span, around: Surroundings): Expr | null {
  if (same(checked.dimension, SPEED)) return checked.expr
  if (same(checked.dimension, TIME)) return { op: 'mul', a: checked.expr, b: { op: 'const', value: STANDARD_GRAVITY } }
  around.problems.push(
    error(span, `The specific impulse is given in s, m/s or N*s/kg; this is ${describe(checked.dimension)}.`),
  )
  return null
}
