import { type Dimension, NONE } from '../../grammar/units/dimension.ts'
import { PLAIN, parseUnit, type Unit } from '../../grammar/units/unit.ts'

/** The dimension of a unit that is written in this code: a mistake here is ours, so it throws. '1' is a plain number. */
export function dimensionOf(unit: string): Dimension {
  return unit === '1' ? NONE : unitOurs(unit).dimension
}

/** Units read before, by their texts: those of our own tables. */
const read = new Map<string, Unit>()

/** A unit that is written in this code: a mistake here is ours, so it throws. '1' is a plain number. */
export function unitOurs(text: string): Unit {
  if (text === '1') return PLAIN
  const known = read.get(text)
  if (known) return known
  const parsed = parseUnit(text)
  if ('fault' in parsed) throw new Error(`unit ${text} in a table of ours: ${parsed.fault.message}`)
  read.set(text, parsed.unit)
  return parsed.unit
}
