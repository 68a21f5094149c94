import { orbitOf } from './kepler.ts'
import { H, U, W } from './point.ts'
import { now, total, totalTime } from './totals.ts'
import type { Way } from './way.ts'

/** The figures of the highest point, where the flight is. */
export function putTop(way: Way): void {
  const { craft, from } = way
  const { radius } = craft
  const h = from.state[H]!
  const share = radius / (radius + h)
  const [up, side] = [total(way, H), total(way, W)]
  way.ledger.put('apoapsis', h, up)
  way.ledger.put('apoapsis energy', share * h, l => share * share * up(l))
  way.ledger.put('apoapsis time', now(way), totalTime(way))
  way.ledger.put('apoapsis speed', from.state[W]!, side)
  const mu = craft.surfaceGravity * radius * radius
  const r = radius + h
  const circular = Math.sqrt(mu / r)
  way.ledger.put('orbit shortfall', circular - from.state[W]!, l => (-0.5 * circular * up(l)) / r - side(l))
  const { periapsis } = orbitOf(mu, r, 0, from.state[W]!)
  way.ledger.put('periapsis', periapsis.v - radius, l => periapsis.d[0] * up(l) + periapsis.d[2] * side(l))
}

/** Those of a flight that never comes back: 1/r of its apoapsis is 0 or less. */
export function putEscape(
  way: Way,
  farness: { readonly v: number; readonly d: readonly [number, number, number] },
): void {
  const { craft } = way
  const { radius } = craft
  const none = (): number => 0
  way.ledger.put('apoapsis', Number.POSITIVE_INFINITY, none)
  way.ledger.put('apoapsis time', Number.POSITIVE_INFINITY, none)
  way.ledger.put('apoapsis energy', radius - radius * radius * farness.v, l => {
    const { state } = craft.lanes[l]!
    const change = farness.d[0] * state[H]! + farness.d[1] * state[U]! + farness.d[2] * state[W]!
    return -radius * radius * change
  })
  way.ledger.put('spaceborne time', Number.POSITIVE_INFINITY, none)
}
