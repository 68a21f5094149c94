import type { Frame } from './frame.ts'
import type { Box } from './levers.ts'

/** Values of a place in the key nearer than this, in units of their size, are ties. */
export const TIE = 1e-7

/** Fills in what is left to the levers: nearest mid-range in order of name, then the smaller; of a box about a point the best in it. */
export function fillTies(frame: Frame, u: Float64Array, key: Float64Array, box: Box | null = null): void {
  const { levers, tiesAt } = frame
  for (let l = 0; l < levers.n; l++) {
    const low = u[l]! + (box ? box.low[l]! * levers.step[l]! : 0)
    const high = u[l]! + (box ? box.high[l]! * levers.step[l]! : 0)
    key[tiesAt + 2 * l] = Math.max(0, low - 0.5, 0.5 - high)
    key[tiesAt + 2 * l + 1] = low
  }
}

/** How near values of a place in the key count as ties; `best` is the best of them. A must that is met never ties with one that is not. */
function tieOf(frame: Frame, place: number, best: number): number {
  return place === 0 && best === 0 ? 0 : tieAt(frame, place, best, TIE)
}

/** `tie` in the size of a place in the key where it is worth `value`. An aim that is infinite (an escape), or none at all, ties with its like alone. */
export function tieAt(frame: Frame, place: number, value: number, tie: number): number {
  const floor = frame.aimFloor[place]!
  if (floor === 0) return tie
  return Number.isFinite(value) ? tie * Math.max(floor, Math.abs(value)) : 0
}

/** Whether a value of one place in the key is worse than the best there, by more than a tie. */
export function isWorse(frame: Frame, place: number, value: number, best: number): boolean {
  return value > best + tieOf(frame, place, Math.min(value, best))
}

/** −1: the first key is better, 1: worse, 0: a tie in all levels, each compared at `tie` of its size. */
export function compare(frame: Frame, a: Float64Array, aAt: number, b: Float64Array, bAt: number): number {
  for (let k = 0; k < frame.keySize; k++) {
    const one = a[aAt + k]!
    const two = b[bAt + k]!
    if (one === two) continue
    const tie = tieOf(frame, k, Math.min(one, two))
    if (one < two - tie) return -1
    if (one > two + tie) return 1
  }
  return 0
}

/** Whether a key could be the best where `best` is what each level of the filter came to. */
export function mayWin(frame: Frame, key: Float64Array, at: number, best: Float64Array): boolean {
  return compare(frame, key, at, best, 0) < 0
}

/**
 * The best of some keys by filters: at each level the best value, then those within a tie of it go on to the next.
 * Never in pairs: ties in pairs are not transitive. `keys` holds one key after the other; `among` says where those that count begin.
 * Fills `best` with what each level came to, and gives the place in `among` (of full ties the first).
 */
export function filter(frame: Frame, keys: Float64Array, among: readonly number[], best: Float64Array): number {
  let left = among.map((_, i) => i)
  for (let k = 0; k < frame.keySize; k++) {
    if (left.length === 1) {
      const at = among[left[0]!]!
      for (let j = k; j < frame.keySize; j++) best[j] = keys[at + j]!
      break
    }
    let least = Number.POSITIVE_INFINITY
    for (const i of left) least = Math.min(least, keys[among[i]! + k]!)
    best[k] = least
    if (least === Number.POSITIVE_INFINITY) continue
    const limit = least + tieOf(frame, k, least)
    left = left.filter(i => keys[among[i]! + k]! <= limit)
  }
  return left[0]!
}
