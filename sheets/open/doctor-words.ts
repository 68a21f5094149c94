import { formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, toSI, type Unit } from '../../grammar/units/unit.ts'

const [FEWEST, MOST] = [3, 12]

/**
 * A bound in words, never tighter than it is: rounded up or down to the fewest figures, three or more, at which it still lies on the
 * proper side of `limit` (all SI).
 */
export function boundText(si: number, unit: Unit, round: 'up' | 'down', beyond: (si: number) => boolean): string {
  for (let digits = FEWEST; digits < MOST; digits++) {
    const rounded = toSI(roundedTo(fromSI(si, unit), digits, round), unit)
    if (beyond(rounded)) return formatQuantity(rounded, unit, digits)
  }
  return formatQuantity(si, unit, MOST)
}

/** Rounding outward and the hair by which a target may be short widen intervals: a bound this near to a round number, relatively, is that number. */
const HAIR = 1e-8

/** A number rounded away to so many significant figures. */
export function roundedTo(value: number, digits: number, round: 'up' | 'down'): number {
  if (value === 0 || !Number.isFinite(value)) return value
  const near = Number(value.toPrecision(digits))
  const over = round === 'up' ? near - value : value - near
  if (over >= -HAIR * Math.abs(value)) return near
  const place = Math.floor(Math.log10(Math.abs(near))) - digits + 1
  return Number((near + (round === 'up' ? 1 : -1) * 10 ** place).toPrecision(digits))
}
