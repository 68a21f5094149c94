import type { Kind } from './events.ts'
import { coastTo, type Leg, orbitOf } from './kepler.ts'
import { ANGLE, copyState, createPoint, H, type Point, U, W } from './point.ts'
import type { Way } from './way.ts'

const landing: Point = createPoint()

/** A coast above all air, in closed form to what comes next: space, apoapsis, a parachute's altitude, the air, the ground; or for good. */
export function coastAbove(voyage: Way): void {
  const { craft, from, log } = voyage
  const { radius } = craft
  const mu = craft.surfaceGravity * radius * radius
  const r = radius + from.state[H]!
  const [u, w] = [from.state[U]!, from.state[W]!]
  const orbit = orbitOf(mu, r, u, w)
  if (u > 0) {
    const { farness } = orbit
    if (!(farness.v > 0)) {
      log.escape(farness)
      voyage.end = 'escapes'
      return
    }
    const space = log.spaceEdge
    const higher = space !== null && !log.inSpace && space > from.state[H]! && 1 / farness.v > radius + space
    if (higher) go(voyage, 'space', coastTo(mu, r, u, w, radius + space, false), space)
    else go(voyage, 'apoapsis', coastTo(mu, r, u, w, null, false), Number.NaN)
    return
  }
  const { kind, altitude } = nextBelow(voyage, craft.air.layers.at(-1)?.top ?? Number.NEGATIVE_INFINITY)
  if (orbit.periapsis.v >= radius + altitude) {
    voyage.end = 'goes into orbit'
    return
  }
  go(voyage, kind, coastTo(mu, r, u, w, radius + altitude, true), altitude)
}

/** The highest altitude below at which something happens on the way down; `edge` is that of the air's next layer, −∞ where there is none. */
export function nextBelow({ from, log, canopies, plan }: Way, edge: number): { kind: Kind; altitude: number } {
  const h = from.state[H]!
  let kind: Kind = 'ground'
  let altitude = plan.launchAltitude
  const consider = (what: Kind, at: number): void => {
    if (!(at < h) || at <= altitude) return
    kind = what
    altitude = at
  }
  consider('edge', edge)
  if (log.spaceEdge !== null && log.inSpace) consider('space', log.spaceEdge)
  consider('opening', canopies.altitude)
  return { kind, altitude }
}

function go(voyage: Way, kind: Kind, leg: Leg, altitude: number): void {
  const { craft } = voyage
  const by = (slopes: readonly [number, number, number], lane: Float64Array): number =>
    slopes[0] * lane[H]! + slopes[1] * lane[U]! + slopes[2] * lane[W]!
  const to: Arrival = {
    time: leg.time.v,
    altitude: Number.isNaN(altitude) ? leg.distance.v - craft.radius : altitude,
    up: leg.up.v,
    side: leg.side.v,
    angle: leg.angle.v,
    totals: craft.lanes.map(({ state }) => ({
      time: by(leg.time.d, state),
      altitude: by(leg.distance.d, state),
      up: by(leg.up.d, state),
      side: by(leg.side.d, state),
      angle: by(leg.angle.d, state),
    })),
  }
  arrive(voyage, to)
  meet(voyage, kind)
}

/** Where a stretch without steps ends: after so long, at which altitude and speeds, how far round; and by lane how these move, the moment too. */
export interface Arrival extends Moved {
  readonly totals: readonly Moved[]
}

interface Moved {
  readonly time: number
  readonly altitude: number
  readonly up: number
  readonly side: number
  readonly angle: number
}

/** Puts the end of a stretch without steps in place of where the flight is. */
export function arrive(voyage: Way, to: Arrival): void {
  const { craft, from } = voyage
  copyState(from, landing)
  landing.time = from.time + to.time
  landing.state[H] = to.altitude
  landing.state[U] = to.up
  landing.state[W] = to.side
  landing.state[ANGLE]! += to.angle
  voyage.observer?.coast(craft, from, landing)
  voyage.move(landing)
  const { rates } = voyage.from
  craft.lanes.forEach((lane, l) => {
    const total = to.totals[l]!
    lane.event = total.time
    lane.state[H] = total.altitude - rates[H]! * total.time
    lane.state[U] = total.up - rates[U]! * total.time
    lane.state[W] = total.side - rates[W]! * total.time
    lane.state[ANGLE]! += total.angle - rates[ANGLE]! * total.time
  })
}

/** What the end of such a stretch brings. */
export function meet(voyage: Way, kind: Kind): void {
  if (kind === 'ground' || kind === 'opening') moveTarget(voyage, kind)
  if (kind === 'opening' && !voyage.canopies.opensHere()) voyage.arrange()
  else voyage.happen(kind)
}

/** A target that a lever moves: the event comes later by as much as it lies lower. */
function moveTarget(voyage: Way, kind: 'ground' | 'opening'): void {
  const { craft, from, directions } = voyage
  craft.lanes.forEach((lane, l) => {
    const shift = kind === 'ground' ? directions[l]!.launchAltitude : voyage.canopies.altitudeChange(l)
    lane.event += shift / from.rates[H]!
  })
}
