/**
 * One row over one square cell as a cubic in each direction, from its values and slopes at the corners; the mixed slopes are
 * Adini's (from the differences of the others). Kept as Bézier ordinates, so that their least and most bound it.
 * Shares s (across) and t (up) run from 0 to 1.
 */
export interface Patch {
  /** Ordinate (i across, j up) at `4 j + i`. */
  readonly ordinates: Float64Array
  readonly low: number
  readonly high: number
}

/** A corner's value and its slopes by one cell width across and up. */
export type Corner = readonly [value: number, across: number, up: number]

/** The patch of a cell from its corners, in the order (0,0) (1,0) (0,1) (1,1). */
export function patchOf(corners: readonly [Corner, Corner, Corner, Corner]): Patch {
  const [a, b, c, d] = corners
  const bend = d[0] - b[0] - c[0] + a[0]
  const alongAcross = [c[1] - a[1], d[1] - b[1]] as const
  const alongUp = [b[2] - a[2], d[2] - c[2]] as const
  const twists = [
    alongUp[0] + alongAcross[0] - bend,
    alongUp[0] + alongAcross[1] - bend,
    alongUp[1] + alongAcross[0] - bend,
    alongUp[1] + alongAcross[1] - bend,
  ] as const
  const ordinates = new Float64Array(16)
  corners.forEach(([value, across, up], k) => {
    const [right, top] = [k & 1, k >> 1]
    const [i, j] = [3 * right, 3 * top]
    const [di, dj] = [right ? -1 : 1, top ? -1 : 1]
    ordinates[4 * j + i] = value
    ordinates[4 * j + i + di] = value + (di * across) / 3
    ordinates[4 * (j + dj) + i] = value + (dj * up) / 3
    ordinates[4 * (j + dj) + i + di] = value + (di * across + dj * up) / 3 + (di * dj * twists[k]!) / 9
  })
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const ordinate of ordinates) {
    if (ordinate < low) low = ordinate
    if (ordinate > high) high = ordinate
  }
  return { ordinates, low, high }
}

/** The value of a patch. */
export function patchAt({ ordinates: o }: Patch, s: number, t: number): number {
  const r = 1 - s
  const q = 1 - t
  const b0 = r * r * r
  const b1 = 3 * r * r * s
  const b2 = 3 * r * s * s
  const b3 = s * s * s
  return (
    q * q * q * (b0 * o[0]! + b1 * o[1]! + b2 * o[2]! + b3 * o[3]!) +
    3 * q * q * t * (b0 * o[4]! + b1 * o[5]! + b2 * o[6]! + b3 * o[7]!) +
    3 * q * t * t * (b0 * o[8]! + b1 * o[9]! + b2 * o[10]! + b3 * o[11]!) +
    t * t * t * (b0 * o[12]! + b1 * o[13]! + b2 * o[14]! + b3 * o[15]!)
  )
}
