import { vary } from './changes.ts'
import type { Craft } from './craft.ts'
import { between, fitStep } from './events.ts'
import type { Point } from './point.ts'
import { placeLane, rateLane } from './step.ts'
import type { Way } from './way.ts'

/** Parts of a step between which what is felt is written down. */
const PARTS = 8
/** Where what is felt changes by less [m/s2] along a step its ends tell enough, unless it falls and rises again: the least in a window counts. */
const STEADY = 0.02

/** Writes down what is felt along the step just taken: at its ends, between, and at its peak (a place, 0 for none). `shift`: how its beginning moves, by lane. */
export function traceStep(way: Way, dt: number, peak: number, shift: Float64Array): void {
  const { craft, from, to, scratch, log } = way
  const { lanes } = craft
  for (let l = 0; l < lanes.length; l++) {
    const lane = lanes[l]!
    lane.kept.set(lane.state)
    rateLane(craft, to, lane, l)
  }
  const at = (e: number, point: Point, moved: Float64Array | null): void => {
    for (const lane of lanes) placeLane(lane, dt, e)
    log.felt(point, feltSlopes(craft, point), moved)
  }
  fitStep(craft, from, to, dt)
  at(-1, from, shift)
  const change = Math.abs(to.felt - from.felt) + dt * (Math.abs(from.feltRate) + Math.abs(to.feltRate))
  const dips = from.feltRate < 0 && to.feltRate > 0
  const parts = change < STEADY && !dips ? 1 : PARTS
  let before = -1
  for (let k = 1; k <= parts; k++) {
    const e = k / parts - 1
    if (peak < 0 && peak > before && peak < e) inside(peak)
    if (k < parts && e !== peak) inside(e)
    before = e
  }
  for (const lane of lanes) lane.state.set(lane.kept)
  log.felt(to, feltSlopes(craft, to), null)

  function inside(e: number): void {
    between(craft, from, to, dt, e, scratch)
    at(e, scratch, null)
  }
}

/** Change of what is felt, by lane at fixed time. */
export function feltSlopes(craft: Craft, point: Point): Float64Array {
  return Float64Array.from(craft.lanes, (lane, l) => {
    vary(craft, point, lane, l)
    return craft.change.felt
  })
}
