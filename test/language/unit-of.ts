import { parseUnit, type Unit } from '../../grammar/units/unit.ts'

/** The unit that a text is; a test that misspells one stops here. */
export function unit(text: string): Unit {
  const parsed = parseUnit(text)
  if ('fault' in parsed) throw new Error(`${text}: ${parsed.fault.message}`)
  return parsed.unit
}
