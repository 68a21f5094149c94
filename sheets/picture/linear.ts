import { ticks } from 'd3-array'

/** A straight scale from values to places; its ticks are 1, 2 or 5 times a power of ten. */
export interface Linear {
  (value: number): number
  readonly domain: readonly [number, number]
  readonly range: readonly [number, number]
  /** About so many ticks within its domain. */
  readonly ticks: (count: number) => readonly number[]
}

/** The straight scale that takes the ends of `domain` to those of `range`; one without width takes everything to the middle. */
export function linear(domain: readonly [number, number], range: readonly [number, number]): Linear {
  const [from, to] = domain
  const at = (value: number): number => {
    const share = to === from ? 0.5 : (value - from) / (to - from)
    return range[0] * (1 - share) + range[1] * share
  }
  return Object.assign(at, { domain, range, ticks: (count: number) => ticks(from, to, count) })
}
