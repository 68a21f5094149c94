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
  putCorner(ordinates, 0, a, 1, 1, twists[0])
  putCorner(ordinates, 3, b, -1, 1, twists[1])
  putCorner(ordinates, 12, c, 1, -1, twists[2])
  putCorner(ordinates, 15, d, -1, -1, twists[3])
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const ordinate of ordinates) {
    if (ordinate < low) low = ordinate
    if (ordinate > high) high = ordinate
  }
  return { ordinates, low, high }
}

/** The four ordinates at a corner, `inward` across and up: towards the middle of the cell. */
function putCorner(
  ordinates: Float64Array,
  at: number,
  [value, across, up]: Corner,
  inwardAcross: 1 | -1,
  inwardUp: 1 | -1,
  twist: number,
): void {
  ordinates[at] = value
  ordinates[at + inwardAcross] = value + (inwardAcross * across) / 3
  ordinates[at + 4 * inwardUp] = value + (inwardUp * up) / 3
  ordinates[at + 4 * inwardUp + inwardAcross] =
    value + (inwardAcross * across + inwardUp * up) / 3 + (inwardAcross * inwardUp * twist) / 9
}

/** What each of the four ordinates of a cubic weighs (Bernstein's polynomials) at even steps from 0 to 1, at `4 step + ordinate`. */
export function weightsAt(steps: number): Float64Array {
  const weights = new Float64Array(4 * (steps + 1))
  for (let k = 0; k <= steps; k++) {
    const s = k / steps
    const r = 1 - s
    weights.set([r * r * r, 3 * r * r * s, 3 * r * s * s, s * s * s], 4 * k)
  }
  return weights
}

/** Writes the values of a patch at even steps of its cell into a raster `width` wide, from the place of the cell's first corner on. */
export function layPatch(
  { ordinates: o }: Patch,
  weights: Float64Array,
  raster: Float64Array,
  corner: number,
  width: number,
): void {
  for (let b = 0; b < weights.length; b += 4) {
    const [q0, q1, q2, q3] = [weights[b]!, weights[b + 1]!, weights[b + 2]!, weights[b + 3]!]
    const o0 = q0 * o[0]! + q1 * o[4]! + q2 * o[8]! + q3 * o[12]!
    const o1 = q0 * o[1]! + q1 * o[5]! + q2 * o[9]! + q3 * o[13]!
    const o2 = q0 * o[2]! + q1 * o[6]! + q2 * o[10]! + q3 * o[14]!
    const o3 = q0 * o[3]! + q1 * o[7]! + q2 * o[11]! + q3 * o[15]!
    let place = corner + (b / 4) * width
    for (let a = 0; a < weights.length; a += 4)
      raster[place++] = weights[a]! * o0 + weights[a + 1]! * o1 + weights[a + 2]! * o2 + weights[a + 3]! * o3
  }
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
