import { error, type Problem, type Span } from '../../grammar/source.ts'
import type { Slot } from '../../grammar/tree.ts'
import { type Dimension, describe, isNone, same } from '../../grammar/units/dimension.ts'
import { type Curve, curveEnd, type Expr } from '../../solver/index.ts'
import { type Checked, type Surroundings, toldAsReading } from './checked.ts'
import { CREW_LIMITS, crewLimitNamed } from './crew-limits.ts'
import { kinship, told } from './disagree.ts'
import { elaborate } from './expression.ts'
import { dimensionOf, unitOurs } from './kinds.ts'
import { didYouMean } from './scope.ts'
import type { SlotEntry } from './slots.ts'

const SPEED = dimensionOf('m/s')
const TIME = dimensionOf('s')
const STANDARD_GRAVITY = 9.80665 // m/s2, 3rd CGPM (1901)

/** What a block is given: values in SI, and tables for the slots that take one. */
export interface Given {
  readonly values: Map<string, Expr>
  readonly curves: ReadonlyMap<string, Curve>
  /** Whether every written line has given something: one that names what is wrong itself is left out without a word. */
  readonly whole: boolean
}

/** The written slots of a block, checked, in SI. Mistakes are reported and left out. */
export function slotValues(
  slots: readonly Slot[],
  entries: readonly SlotEntry[],
  around: Surroundings,
  local?: Surroundings,
): Given {
  const values = new Map<string, Expr>()
  const curves = new Map<string, Curve>()
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
    if (entry.tableOf !== undefined) {
      const curve = tableNamed(entry, slot, around)
      if (curve) curves.set(name, curve)
      continue
    }
    const checked = elaborate(slot.value, entry.name === 'drag coefficient' && local ? local : around)
    if (!checked) continue
    const expr = fitSlot(entry, checked, slot.value.span, around)
    if (expr) values.set(name, expr)
  }
  return { values, curves, whole: slots.every(({ name }) => values.has(name.text) || curves.has(name.text)) }
}

/** The table that a slot's line names. */
function tableNamed(entry: SlotEntry, slot: Slot, around: Surroundings): Curve | null {
  const { value } = slot
  if (value.kind === 'reference' && value.of === null) return tableFor(entry, value.name.text, value.span, around)
  around.problems.push(
    error(
      value.span,
      `The ${entry.name} is a table, given by its name.`,
      `Declare "table my ${entry.name} of time" with its rows, and write "${entry.name} = my ${entry.name}".`,
    ),
  )
  return null
}

/** The curve of a table by name, if it goes between the kinds of quantity that a slot wants; else null after saying why. */
export function tableFor(entry: SlotEntry, name: string, span: Span, around: Surroundings): Curve | null {
  const table = around.table(name)
  const crew = entry.name.endsWith('crew limit')
  if (!table) {
    const known = crew ? crewLimitNamed(name) : undefined
    if (known) return known
    if (around.lost(name)) return null
    around.problems.push(
      error(
        span,
        `No table is called "${name}".`,
        (crew ? didYouMean(name, CREW_LIMITS) : null) ??
          `The ${entry.name} is given by the name of a table of the sheet${crew ? `, or one of: ${CREW_LIMITS.join(', ')}` : ''}.`,
      ),
    )
    return null
  }
  const [from, to] = [dimensionOf(entry.tableOf!), dimensionOf(entry.unit)]
  if (same(table.argument, from) && same(table.value, to)) {
    if (!crew || neverRises(table.curve)) return table.curve
    around.problems.push(
      error(
        span,
        `A ${entry.name} never rises with the duration: what is borne for long is borne for a moment.`,
        'Let its values fall, or stay, from row to row.',
      ),
    )
    return null
  }
  around.problems.push(
    error(
      span,
      `A ${entry.name} goes from ${describe(from)} to ${describe(to)}; this table goes from ${describe(table.argument)} to ${describe(table.value)}.`,
      'Look at the units in its rows.',
    ),
  )
  return null
}

function neverRises({ knots, coefficients }: Curve): boolean {
  for (let k = 1; k + 1 < knots.length; k++) if (coefficients[4 * k]! > coefficients[4 * (k - 1)]!) return false
  const last = knots.length - 2
  return last < 0 || curveEnd({ knots, coefficients }) <= coefficients[4 * last]!
}

/** The SI value a slot takes from a checked expression, or null after saying why it does not fit; `also`: who takes it, where that is said elsewhere. */
export function fitSlot(
  entry: SlotEntry,
  checked: Checked,
  span: Span,
  around: Surroundings,
  also?: Problem['also'],
): Expr | null {
  if (entry.name === 'specific impulse') return fitImpulse(checked, span, around, also)
  const wanted = dimensionOf(entry.unit)
  if (entry.difference && toldAsReading(`The ${entry.name}`, checked, span, around)) return null
  if (same(checked.dimension, wanted)) return checked.expr
  around.problems.push(
    error(
      span,
      `The ${entry.name} is ${told({ dimension: wanted, unit: unitOurs(entry.unit) })}; this is ${told(checked)}.${kinship({ dimension: wanted }, checked)}`,
      mendFor(wanted, checked.dimension, entry),
      also,
    ),
  )
  return null
}

function mendFor(wanted: Dimension, found: Dimension, entry: SlotEntry): string {
  if (isNone(wanted)) return 'Give it a plain number.'
  if (isNone(found)) return `Write the unit after the number, such as ${entry.unit}.`
  return `Give it in ${entry.unit}, or in another unit of that kind.`
}

/** Specific impulse is taken in s (times standard gravity) or as a speed, m/s = N*s/kg; what comes out is the effective exhaust speed. */
function fitImpulse(checked: Checked, span: Span, around: Surroundings, also: Problem['also']): Expr | null {
  if (same(checked.dimension, SPEED)) return checked.expr
  if (same(checked.dimension, TIME)) return { op: 'mul', a: checked.expr, b: { op: 'const', value: STANDARD_GRAVITY } }
  around.problems.push(
    error(
      span,
      `The specific impulse is given in s, m/s or N*s/kg; this is ${told(checked)}.`,
      'Give it in one of these.',
      also,
    ),
  )
  return null
}
