const ULP = 2 ** -52
const LEAST = Number.MIN_VALUE

/** A double above x, one or two places away; the bound that nothing exceeds where x has been lost (NaN). */
export function up(x: number): number {
  return above(x, ULP)
}

/** A double below x, one or two places away; the bound that nothing goes under where x has been lost (NaN). */
export function down(x: number): number {
  return -up(-x)
}

/** A double above x by some eight places: for the engine's own functions, whose results are within one place of the truth. */
export function wellUp(x: number): number {
  return above(x, 8 * ULP)
}

export function wellDown(x: number): number {
  return -wellUp(-x)
}

function above(x: number, share: number): number {
  const raised = x + (Math.abs(x) * share + LEAST)
  if (!Number.isNaN(raised)) return raised
  return x === Number.NEGATIVE_INFINITY ? -Number.MAX_VALUE : Number.POSITIVE_INFINITY
}
