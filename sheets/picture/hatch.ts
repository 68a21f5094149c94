import { path, short } from './svg.ts'

type Place = readonly [number, number]

/** Families of hatching, one for each target in the order of the sheet; beyond them they repeat. */
export const FAMILIES = 8
const SIZE = 9

/**
 * Hatching along a line, on the side of `(−b, a)` of its direction `(a, b)`: the right hand on a screen whose y runs down. One path
 * of strokes.
 */
export function hatchAlong(points: readonly Place[], family: number, spacing = 11): string {
  const apart = family % FAMILIES === 2 ? SIZE : spacing
  let strokes = ''
  let count = 0
  let left = apart / 2
  for (let k = 0; k + 1 < points.length; k++) {
    const [[x, y], [u, v]] = [points[k]!, points[k + 1]!]
    const length = Math.hypot(u - x, v - y)
    if (length === 0) continue
    const way: Place = [(u - x) / length, (v - y) / length]
    let run = left
    for (; run <= length; run += apart)
      strokes += stroke(family % FAMILIES, [x + run * way[0], y + run * way[1]], way, count++)
    left = run - length
  }
  return strokes
}

function stroke(family: number, [x, y]: Place, [a, b]: Place, count: number): string {
  const at = (along: number, off: number): Place => [x + along * a - off * b, y + along * b + off * a]
  switch (family) {
    case 0:
      return path([at(0, 0), at(0.7 * SIZE, 0.8 * SIZE)])
    case 1:
      return (
        path([at(-1.6, 0), at(-1.6 + 0.6 * SIZE, 0.85 * SIZE)]) + path([at(1.6, 0), at(1.6 + 0.6 * SIZE, 0.85 * SIZE)])
      )
    case 2:
      return path([at(-SIZE / 2, 0), at(0, 0.9 * SIZE), at(SIZE / 2, 0)])
    case 3:
      return path([at(0, 0), at(0, count % 2 === 0 ? SIZE : 0.5 * SIZE)])
    case 4: {
      const [u, v] = at(0, 0.55 * SIZE)
      return `M${short(u - 1)} ${short(v)}a1 1 0 1 0 2 0a1 1 0 1 0 -2 0`
    }
    case 5:
      return path([at(-2.5, 2), at(2.5, 7)]) + path([at(2.5, 2), at(-2.5, 7)])
    case 6: {
      const [p, q, r] = [at(-4.5, 3), at(0, 9), at(4.5, 3)]
      return `M${short(p[0])} ${short(p[1])}Q${short(q[0])} ${short(q[1])} ${short(r[0])} ${short(r[1])}`
    }
    default:
      return path([at(0, 0), at(-0.7 * SIZE, 0.8 * SIZE)])
  }
}
