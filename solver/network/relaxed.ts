import { wellDown, wellUp } from '../interval/index.ts'
import { type Affine, combine, constant, type Forms } from './affine.ts'
import type { Intervals } from './forward.ts'
import { limitsFor } from './musts.ts'
import type { Program } from './program.ts'
import { OP, type Slot } from './tape.ts'

/*
 * Linear consequences of the musts, each a form that is at least zero wherever they are met inside the intervals: of the targets
 * themselves, and of quotients, products and squares of sums through the intervals that these must lie in.
 */

/** Rows f ≥ 0 over the columns of `forms`. Rows without a column, or with infinite parts, are left out. */
export function relaxedRows(
  program: Program,
  musts: readonly number[],
  scales: Float64Array,
  box: Intervals,
  forms: Forms,
): Affine[] {
  const rows: Affine[] = []
  const add = (row: Affine): void => {
    const parts = [row.most, ...row.low, ...row.high]
    if (row.at.length > 0 && parts.every(Number.isFinite)) rows.push(row)
  }
  for (const t of musts) {
    for (const { greater, lesser, slack } of limitsFor(program.targets[t]!, scales[t]!, box)) {
      add(combine(forms.formOf(greater), 1, 1, shifted(forms.formOf(lesser), -slack), -1, -1))
    }
  }
  for (const slot of forms.columns) {
    const [p, q] = [program.tape.a[slot]!, program.tape.b[slot]!]
    const op = program.tape.op[slot]
    if (op === OP.div) quotientRows(box, forms, slot, p, q, add)
    if (op === OP.mul) productRows(box, forms, slot, p, q, add)
    if (op === OP.square) productRows(box, forms, slot, p, p, add)
  }
  return rows
}

function shifted(form: Affine, by: number): Affine {
  const { at, low, high, least, most } = form
  return { at, low, high, least: wellDown(least + by), most: wellUp(most + by) }
}

/** z = x/y from zl to zh, y of one sign: x lies between zl·y and zh·y. */
function quotientRows(
  { low, high }: Intervals,
  forms: Forms,
  z: Slot,
  x: Slot,
  y: Slot,
  add: (row: Affine) => void,
): void {
  const sign = low[y]! > 0 ? 1 : high[y]! < 0 ? -1 : 0
  if (sign === 0) return
  const [zl, zh] = [wellDown(low[z]!), wellUp(high[z]!)]
  if (Number.isFinite(zl)) add(combine(forms.formOf(x), sign, sign, forms.formOf(y), -sign * zl, -sign * zl))
  if (Number.isFinite(zh)) add(combine(forms.formOf(x), -sign, -sign, forms.formOf(y), sign * zh, sign * zh))
}

/**
 * z = x·y: the four planes that hold the product of two bounded sums between them (McCormick, Mathematical Programming 10, 1976),
 * from (x − xl)(y − yl) ≥ 0 and its like at the other corners.
 */
function productRows(
  { low, high }: Intervals,
  forms: Forms,
  z: Slot,
  x: Slot,
  y: Slot,
  add: (row: Affine) => void,
): void {
  const [xl, xh, yl, yh] = [low[x]!, high[x]!, low[y]!, high[y]!]
  if (![xl, xh, yl, yh].every(Number.isFinite)) return
  const slack = 2 ** -50 * Math.max(Math.abs(xl), Math.abs(xh)) * Math.max(Math.abs(yl), Math.abs(yh))
  const plane = (sign: number, a: number, b: number): void => {
    // sign·(z − a·y − b·x + a·b) ≥ 0 for a corner (a, b).
    const sides = combine(forms.formOf(y), -sign * a, -sign * a, forms.formOf(x), -sign * b, -sign * b)
    const corner = constant(wellDown(sign * a * b - slack), wellUp(sign * a * b + slack))
    add(combine(combine(forms.formOf(z), sign, sign, sides, 1, 1), 1, 1, corner, 1, 1))
  }
  plane(1, xl, yl)
  plane(1, xh, yh)
  plane(-1, xl, yh)
  plane(-1, xh, yl)
}
