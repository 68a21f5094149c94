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
  // With k = r w²/μ, the centrifugal share of gravity there, the other apsis lies at r k/(2 − k), and at r itself where k is over 1.
  const w = from.state[W]!
  const k = (r * w * w) / mu
  const over = k > 1 ? k : 2 - k
  const byK = k > 1 ? 0 : (2 * r) / (over * over)
  way.ledger.put(
    'periapsis',
    (r * k) / over - radius,
    l => (k / over) * up(l) + byK * ((w * w * up(l) + 2 * r * w * side(l)) / mu),
  )
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
