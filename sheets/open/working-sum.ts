import { formatQuantity } from '../../grammar/units/choose.ts'
import { decimalsFor } from '../../grammar/units/format.ts'
import { fromSI, type Unit } from '../../grammar/units/unit.ts'
import type { WorkingInput, WorkingSum } from '../working.ts'
import { inputOf, type Node } from './working-node.ts'

/** Places after the point that are tried until the printed parts add up. */
const MOST_PLACES = 6

/** Parts of a whole, with as many places as it takes for the printed numbers to add up, and so for their shares. */
export function sumOf(whole: Node, parts: readonly Node[]): WorkingSum {
  const { unit } = whole
  const values = parts.map(({ si }) => fromSI(si, unit))
  const places = placesFor(fromSI(whole.si, unit), values, Math.min(1, decimalsFor(fromSI(whole.si, unit), 4)))
  const shares = values.map(value => (100 * value) / fromSI(whole.si, unit))
  const sharePlaces = placesFor(100, shares, 1)
  return {
    kind: 'sum',
    whole: printed(whole, unit, places),
    parts: parts.map((part, k) => ({
      ...printed(part, unit, places),
      share: `${shares[k]!.toFixed(sharePlaces).replace('-', '−')} %`,
    })),
  }
}

function printed(node: Node, unit: Unit, places: number): WorkingInput {
  const text = formatQuantity(node.si, unit, 4, { decimals: places })
  return { ...inputOf(node), text }
}

function placesFor(whole: number, parts: readonly number[], least: number): number {
  for (let places = least; places < MOST_PLACES; places++) {
    const units = (value: number): number => Math.round(Number(value.toFixed(places)) * 10 ** places)
    if (parts.reduce((sum, part) => sum + units(part), 0) === units(whole)) return places
  }
  return MOST_PLACES
}
