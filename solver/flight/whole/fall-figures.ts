import { vary } from './changes.ts'
import { ANGLE, H, MASS } from './point.ts'
import { now, total, totalSpeed, totalTime } from './totals.ts'
import type { Way } from './way.ts'

/** The figures of a parachute that opens where the flight is. */
export function putOpening(way: Way, index: number): void {
  const { ledger, from, craft } = way
  ledger.putCanopy(index, 'opening speed', from.speed, totalSpeed(way))
  ledger.putCanopy(index, 'opening q', from.q, l => {
    const lane = craft.lanes[l]!
    vary(craft, from, lane, l)
    return craft.change.q + from.qRate * lane.event
  })
  ledger.putCanopy(index, 'opening altitude', from.state[H]!, total(way, H))
  ledger.putCanopy(index, 'opening time', now(way), totalTime(way))
}

/** The figures at the ground. */
export function putLanding(way: Way): void {
  const { ledger, from, craft } = way
  const speed = totalSpeed(way)
  const mass = from.state[MASS]!
  const massChange = total(way, MASS)
  ledger.put('touchdown speed', from.speed, speed)
  ledger.put(
    'touchdown energy',
    0.5 * mass * from.speed * from.speed,
    l => from.speed * (mass * speed(l) + 0.5 * from.speed * massChange(l)),
  )
  ledger.put('flight time', now(way), totalTime(way))
  const run = total(way, ANGLE)
  ledger.put('downrange', craft.radius * from.state[ANGLE]!, l => craft.radius * run(l))
}
