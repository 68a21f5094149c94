import type { Range } from '../model/model.ts'

/** The levers as shares of their ranges, u = (x − from) / (to − from), with the box and the lattice of settings inside it. */
export interface Levers {
  readonly n: number
  readonly ranges: readonly Range[]
  readonly from: Float64Array
  readonly width: Float64Array
  /** The box in shares. */
  readonly low: Float64Array
  readonly high: Float64Array
  /** Settings of each lever inside the box, from `first` on; 0: no steps. */
  readonly count: Int32Array
  readonly first: Int32Array
  /** One step in shares; 0: no steps. */
  readonly step: Float64Array
  /** How many settings the box holds; Infinity where a lever has no steps. */
  readonly size: number
  /** The box holds no point, or no setting of some lever. */
  readonly empty: boolean
}

/** What lies about a setting: by lever, from so many steps to so many. */
export interface Box {
  readonly low: Float64Array
  readonly high: Float64Array
}

/** The levers of a box given by its ends in SI. */
export function leversOf(ranges: readonly Range[], boxLow: Float64Array, boxHigh: Float64Array): Levers {
  const n = ranges.length
  const from = Float64Array.from(ranges, range => range.from)
  const width = Float64Array.from(ranges, range => range.to - range.from || 1)
  const low = new Float64Array(n)
  const high = new Float64Array(n)
  const count = new Int32Array(n)
  const first = new Int32Array(n)
  const step = new Float64Array(n)
  let size = 1
  let empty = false
  ranges.forEach((range, l) => {
    const share = (x: number): number => Math.min(1, Math.max(0, (x - range.from) / width[l]!))
    low[l] = share(boxLow[l]!)
    high[l] = share(boxHigh[l]!)
    if (!(boxLow[l]! <= boxHigh[l]!)) empty = true
    const { settings } = range
    if (settings === null) {
      size = Number.POSITIVE_INFINITY
      return
    }
    const [least, last] = inside(settings, boxLow[l]!, boxHigh[l]!, 1e-9 * width[l]!)
    step[l] =
      settings.length > 1 ? (settings[settings.length - 1]! - settings[0]!) / (settings.length - 1) / width[l]! : 1
    if (last < least) {
      empty = true
      return
    }
    first[l] = least
    count[l] = last - least + 1
    size *= last - least + 1
    const ends = [settings[least]!, settings[last]!].map(x => (x - range.from) / width[l]!)
    low[l] = Math.max(low[l]!, ends[0]!)
    high[l] = Math.min(high[l]!, ends[1]!)
  })
  // Written out: an object spread out of another is of a kind of its own each time, which all that reads it has to find its way in anew.
  return { n, ranges, from, width, low, high, count, first, step, size, empty }
}

/** The first and last of rising settings between two values, a hair beyond allowed; last < first for none. */
function inside(settings: Float64Array, low: number, high: number, hair: number): [number, number] {
  let first = 0
  let last = settings.length - 1
  for (let end = last; first < end; ) {
    const middle = (first + end) >> 1
    if (settings[middle]! >= low - hair) end = middle
    else first = middle + 1
  }
  if (!(settings[first]! >= low - hair)) return [0, -1]
  for (let begin = 0; begin < last; ) {
    const middle = (begin + last + 1) >> 1
    if (settings[middle]! <= high + hair) begin = middle
    else last = middle - 1
  }
  return settings[last]! <= high + hair ? [first, last] : [0, -1]
}

/** The share of setting k of a lever, counted from the first inside the box. */
export function shareOf(levers: Levers, lever: number, k: number): number {
  const settings = levers.ranges[lever]!.settings!
  return (settings[levers.first[lever]! + k]! - levers.from[lever]!) / levers.width[lever]!
}

/** The setting of a lever nearest to a share, inside the box. */
export function nearestSetting(levers: Levers, lever: number, share: number): number {
  const k = Math.round((share - shareOf(levers, lever, 0)) / levers.step[lever]!)
  return Math.min(levers.count[lever]! - 1, Math.max(0, k))
}

/** Lever values in SI at a point in shares; a stepped lever within a hair of a setting takes exactly that. */
export function valuesAt(levers: Levers, u: Float64Array, at: number, x: Float64Array): void {
  for (let l = 0; l < levers.n; l++) {
    const { from, to, settings } = levers.ranges[l]!
    const share = u[at + l]!
    x[l] = Math.min(to, Math.max(from, from + share * levers.width[l]!))
    if (settings === null) continue
    const k = Math.min(
      settings.length - 1,
      Math.max(0, Math.round((share * levers.width[l]! + from - settings[0]!) / (levers.step[l]! * levers.width[l]!))),
    )
    if (Math.abs(settings[k]! - x[l]!) <= 1e-9 * levers.width[l]!) x[l] = settings[k]!
  }
}
