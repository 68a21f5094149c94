import { shareOf } from './levers.ts'
import { Points } from './points.ts'
import type { Run } from './run.ts'

/**
 * Settles the steps of many levers by a walk: from the cheapest of the roundings, moves of one lever by up to three steps, two
 * by up to two, three by one; of all that may win by the model the one that promises most is flown, until none may.
 */
export function walk(run: Run, u: Float64Array): void {
  const points = new Points(run)
  const { n } = run.frame.levers
  let center = cheapest(points, u)
  const most = 20 + 10 * n
  let flown = points.try(points.place(center))
  const moves = movesOf(n)
  while (flown < most && !run.spent) {
    const next = mostPromising(points, center, moves)
    if (next < 0) return
    const before = run.samples.best
    const made = points.try(next)
    if (made === 0) return
    flown += made
    if (run.samples.best !== before && points.done(next)) center = points.settings[next]!
  }
}

/** The rounding of a point, each lever up or down, that the model thinks best. */
function cheapest(points: Points, u: Float64Array): Int32Array {
  const { run } = points
  const { levers } = run.frame
  const { n, count, step } = levers
  const below = Int32Array.from(u, (share, l) => {
    const k = Math.floor((share - shareOf(levers, l, 0)) / step[l]! + 1e-9)
    return Math.min(Math.max(0, count[l]! - 2), Math.max(0, k))
  })
  let best = below
  const bestKey = new Float64Array(run.frame.keySize).fill(Number.POSITIVE_INFINITY)
  for (let corner = 0; corner < 2 ** n; corner++) {
    const k = below.map((from, l) => Math.min(count[l]! - 1, from + ((corner >> l) & 1)))
    if (!points.predict(points.place(k))) continue
    run.expected(points.u, run.key)
    if (!precedes(run.key, bestKey)) continue
    bestKey.set(run.key)
    best = k
  }
  return best
}

/** Of the settings around one, not yet flown tightly, that may be the best, the one of the best optimistic key; −1 for none. */
function mostPromising(points: Points, center: Int32Array, moves: readonly Int8Array[]): number {
  const { run } = points
  const { count } = run.frame.levers
  const bestKey = new Float64Array(run.frame.keySize).fill(Number.POSITIVE_INFINITY)
  const k = center.slice()
  let chosen = -1
  for (const move of moves) {
    let inside = true
    for (let l = 0; l < k.length; l++) {
      k[l] = center[l]! + move[l]!
      if (k[l]! < 0 || k[l]! >= count[l]!) inside = false
    }
    if (!inside) continue
    const place = points.place(k)
    if (points.done(place) || !points.mayBeBest(place, false) || !precedes(run.key, bestKey)) continue
    bestKey.set(run.key)
    chosen = place
  }
  return chosen
}

function precedes(a: Float64Array, b: Float64Array): boolean {
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return a[k]! < b[k]!
  return false
}

/** Moves of one lever by 1…3 steps, of two by 1…2 each, of three by 1 each. */
export function movesOf(n: number): Int8Array[] {
  const moves: Int8Array[] = []
  const extend = (move: Int8Array, from: number, left: number, reach: number): void => {
    if (left === 0) {
      moves.push(move)
      return
    }
    for (let l = from; l < n; l++)
      for (let by = -reach; by <= reach; by++) {
        if (by === 0) continue
        const next = move.slice()
        next[l] = by
        extend(next, l + 1, left - 1, reach)
      }
  }
  for (const [levers, reach] of [
    [1, 3],
    [2, 2],
    [3, 1],
  ] as const)
    extend(new Int8Array(n), 0, levers, reach)
  return moves
}
