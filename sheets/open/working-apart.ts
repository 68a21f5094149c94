import type { Expression } from '../../grammar/tree.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, isReading, toSI } from '../../grammar/units/unit.ts'
import { DIGITS, isShort, type Lookup, type Node } from './working-node.ts'

/** Figures that a value is shown with at most, and how near what is shown must come to a sum or difference, as a share of it. */
const MOST_DIGITS = 9
const FOLLOWS = 5e-4

/** Gives two values that nearly cancel as many figures as what is left of them follows from. */
export function showApart(
  { operator, left, right }: Extract<Expression, { kind: 'binary' }>,
  find: Lookup,
  finer: Map<string, string>,
): void {
  if ((operator !== '-' && operator !== '+') || left.kind !== 'reference' || right.kind !== 'reference') return
  const [a, b] = [find(left.name, left.of), find(right.name, right.of)]
  if (!a || !b || !Number.isFinite(a.si) || !Number.isFinite(b.si)) return
  const sign = operator === '-' ? -1 : 1
  const told = (node: Node, digits: number): number =>
    isWhole(node) ? node.si : toSI(Number(fromSI(node.si, node.unit).toPrecision(digits)), node.unit)
  const off = (digits: number): number => Math.abs(told(a, digits) - a.si + sign * (told(b, digits) - b.si))
  let digits = DIGITS
  while (digits < MOST_DIGITS && off(digits) > FOLLOWS * Math.abs(a.si + sign * b.si)) digits++
  if (digits === DIGITS) return
  for (const node of [a, b]) if (!isWhole(node)) finer.set(node.key, formatQuantity(node.si, node.unit, digits))
}

/** Whether a value is shown without a loss: as it is written, or in kelvins for a reading. */
function isWhole({ si, unit }: Node): boolean {
  return isReading(unit) || isShort(si, unit)
}
