import { shareOf } from './levers.ts'
import { compare } from './order.ts'
import type { Run } from './run.ts'
import { MEDIUM, TIGHT } from './samples.ts'

/**
 * Settles three levers and more by a walk on the model: from the cheapest rounding of a point by moves of one lever (up to 3 steps),
 * two (up to 2) or three (one step each), flying whichever could at its best be better than the best tight flight, until none can.
 */
export function walk(run: Run, u: Float64Array): void {
  const { frame, samples } = run
  const { n } = frame.levers
  let left = 20 + 10 * n
  let center = cheapestRounding(run, u)
  left -= tryPoint(run, center)
  while (left > 0 && !run.spent) {
    if (samples.best >= 0) center = settingOf(run, samples.point(samples.best))
    const next = mostPromising(run, center)
    if (!next) return
    left -= tryPoint(run, next)
  }
}

/** The setting, counted in the box, nearest to a point. */
function settingOf(run: Run, u: Float64Array): Int32Array {
  const { levers } = run.frame
  return Int32Array.from(u, (share, l) => {
    const k = Math.round((share - shareOf(levers, l, 0)) / levers.step[l]!)
    return Math.min(levers.count[l]! - 1, Math.max(0, k))
  })
}

function cheapestRounding(run: Run, u: Float64Array): Int32Array {
  const { frame } = run
  const { levers } = frame
  let best = settingOf(run, u)
  const bestKey = keyAt(run, best, false)
  for (let corner = 0; corner < 2 ** levers.n; corner++) {
    const k = Int32Array.from(u, (share, l) => {
      const exact = (share - shareOf(levers, l, 0)) / levers.step[l]!
      const side = (corner >> l) & 1 ? Math.ceil(exact) : Math.floor(exact)
      return Math.min(levers.count[l]! - 1, Math.max(0, side))
    })
    const key = keyAt(run, k, false)
    if (compare(frame, key, 0, bestKey, 0) >= 0) continue
    best = k
    bestKey.set(key)
  }
  return best
}

/** The key that the model expects of a setting, or (`optimistic`) its best within the error bars. */
function keyAt(run: Run, k: Int32Array, optimistic: boolean): Float64Array {
  const { frame, model } = run
  const u = Float64Array.from(k, (at, l) => shareOf(frame.levers, l, at))
  const known = model.predict(u, run.algebra(u))
  const key = new Float64Array(frame.keySize)
  if (optimistic || !known) run.optimistic(u, known, false, key)
  else run.expected(u, key)
  return key
}

function mostPromising(run: Run, center: Int32Array): Int32Array | null {
  const { frame, samples } = run
  let best: Int32Array | null = null
  const bestKey = new Float64Array(frame.keySize).fill(Number.POSITIVE_INFINITY)
  for (const k of moves(run, center)) {
    if (samples.known(k, TIGHT) >= 0) continue
    const key = keyAt(run, k, true)
    if (samples.best >= 0 && compare(frame, key, 0, samples.bestKey, 0) >= 0) continue
    if (best && compare(frame, key, 0, bestKey, 0) >= 0) continue
    best = k
    bestKey.set(key)
  }
  return best
}

/** Settings near a center: one lever by 1 to 3, two by 1 or 2, three by 1. */
function* moves(run: Run, center: Int32Array): Generator<Int32Array> {
  const { n, count } = run.frame.levers
  const moved = (by: readonly (readonly [number, number])[]): Int32Array | null => {
    const k = center.slice()
    for (const [l, step] of by) {
      k[l] = k[l]! + step
      if (k[l]! < 0 || k[l]! >= count[l]!) return null
    }
    return k
  }
  const signs = (most: number): number[] => Array.from({ length: most }, (_, i) => [i + 1, -i - 1]).flat()
  for (let a = 0; a < n; a++) {
    for (const i of signs(3)) {
      const k = moved([[a, i]])
      if (k) yield k
    }
    for (let b = a + 1; b < n; b++) {
      for (const i of signs(2))
        for (const j of signs(2)) {
          const k = moved([
            [a, i],
            [b, j],
          ])
          if (k) yield k
        }
      for (let c = b + 1; c < n; c++)
        for (const i of [1, -1])
          for (const j of [1, -1])
            for (const m of [1, -1]) {
              const k = moved([
                [a, i],
                [b, j],
                [c, m],
              ])
              if (k) yield k
            }
    }
  }
}

/** Flies a setting well, then, if it still may be the best, tight. Gives the flights made. */
function tryPoint(run: Run, k: Int32Array): number {
  const { samples, frame } = run
  let flown = 0
  if (!frame.allExact && samples.known(k, MEDIUM) < 0) {
    run.model.learn(samples.flySetting(k, MEDIUM))
    flown++
    if (samples.best >= 0 && compare(frame, keyAt(run, k, true), 0, samples.bestKey, 0) >= 0) {
      return flown
    }
  }
  if (samples.known(k, TIGHT) >= 0) return flown
  samples.flySetting(k, TIGHT)
  return flown + 1
}
