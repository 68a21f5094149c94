type Place = readonly [number, number]
/** Closed rings, inside by the even-odd rule. */
type Rings = readonly (readonly Place[])[]

/** Whether a place is inside rings. */
export function inside(rings: Rings, [x, y]: Place): boolean {
  let odd = false
  for (const ring of rings)
    for (let k = 0; k + 1 < ring.length; k++) {
      const [[a, b], [c, d]] = [ring[k]!, ring[k + 1]!]
      if (b > y !== d > y && x < a + ((y - b) / (d - b)) * (c - a)) odd = !odd
    }
  return odd
}

/** The area of rings, holes taken off where they run the other way. */
export function area(rings: Rings): number {
  return Math.abs(
    rings.reduce(
      (sum, ring) => sum + ring.slice(1).reduce((part, [x, y], k) => part + (ring[k]![0] * y - x * ring[k]![1]) / 2, 0),
      0,
    ),
  )
}
