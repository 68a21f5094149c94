import { canopyChange, vary } from './changes.ts'
import { H, type Point, U } from './point.ts'
import type { End, Opener, Way } from './way.ts'

/** The parachutes of a flight, opened one after the other. */
export class Canopies implements Opener {
  private readonly voyage: Way
  /** In order of falling altitude, as written where they are level. */
  private readonly order: readonly number[]
  /** How many are open. */
  private open0 = 0
  armed = false

  constructor(voyage: Way) {
    this.voyage = voyage
    const { canopies } = voyage.plan
    this.order = [...canopies.keys()].sort((a, b) => canopies[b]!.altitude - canopies[a]!.altitude || a - b)
  }

  /** The one that is next, −1 for none. */
  private get next(): number {
    return this.order[this.open0] ?? -1
  }

  /** The altitude below which the next one may open, where it waits for that alone; for coasts without air. */
  get altitude(): number {
    return this.armed && this.next >= 0 ? this.voyage.plan.canopies[this.next]!.altitude : Number.NEGATIVE_INFINITY
  }

  /** Whether the next one waits for more than its altitude. */
  get waits(): boolean {
    const next = this.voyage.plan.canopies[this.next]
    return next !== undefined && (Number.isFinite(next.safeQ) || Number.isFinite(next.safeSpeed))
  }

  /** What a lane does to that altitude. */
  altitudeChange(lane: number): number {
    return this.voyage.directions[lane]!.canopies[this.next]!.altitude
  }

  /** Whether the next one opens where the flight has just come to, at its altitude in a coast without air; if not, speed only grows until there is air. */
  opensHere(): boolean {
    return this.armed && this.ready()
  }

  /** From now on they may open; some do at once. */
  arm(): void {
    this.armed = true
    if (this.ready()) this.open()
  }

  private ready(): boolean {
    return this.next >= 0 && this.slack(this.voyage.from).gap >= 0
  }

  /** The condition that is farthest from being met: gap ≥ 0 once all are. */
  private slack(point: Point): { gap: number; which: 'altitude' | 'q' | 'speed' } {
    const { altitude, safeQ, safeSpeed } = this.voyage.plan.canopies[this.next]!
    const low = (altitude - point.state[H]!) / 1000
    const slow = safeSpeed < Number.POSITIVE_INFINITY ? (safeSpeed - point.speed) / safeSpeed : low
    const soft = safeQ < Number.POSITIVE_INFINITY ? (safeQ - point.q) / safeQ : low
    if (low <= slow && low <= soft) return { gap: low, which: 'altitude' }
    return slow <= soft ? { gap: slow, which: 'speed' } : { gap: soft, which: 'q' }
  }

  /** Whether one may still open. */
  get waiting(): boolean {
    return this.armed && this.next >= 0
  }

  /** How far the next one is from opening: 0 or more once it may. */
  gap(point: Point): number {
    return this.slack(point).gap
  }

  gapRate(point: Point): number {
    const { safeQ, safeSpeed } = this.voyage.plan.canopies[this.next]!
    const { which } = this.slack(point)
    if (which === 'altitude') return -point.state[U]! / 1000
    return which === 'speed' ? -point.speedRate / safeSpeed : -point.qRate / safeQ
  }

  /** Change of the gap by lane l at fixed time. */
  gapChange(point: Point, l: number): number {
    const { craft, plan, directions } = this.voyage
    const { safeQ, safeSpeed } = plan.canopies[this.next]!
    const lane = craft.lanes[l]!
    const change = directions[l]!.canopies[this.next]!
    const { which } = this.slack(point)
    if (which === 'altitude') return (change.altitude - lane.state[H]!) / 1000
    vary(craft, point, lane, l)
    if (which === 'speed') return ((change.safeSpeed * point.speed) / safeSpeed - craft.change.speed) / safeSpeed
    return ((change.safeQ * point.q) / safeQ - craft.change.q) / safeQ
  }

  /** Opens the next one; `lane.event` is set. One that may open at once opens too. */
  open(): void {
    const { voyage } = this
    const { craft, plan, directions, from, log } = voyage
    const index = this.next
    const canopy = plan.canopies[index]!
    log.opening(index)
    voyage.observer?.event('opening', craft, from, index)
    const before = from.canopy
    const growing = craft.fillTime > 0 ? (craft.canopyTo - craft.canopyFrom) / craft.fillTime : 0
    craft.lanes.forEach(lane => {
      lane.canopyFrom = canopyChange(craft, from, lane) + growing * lane.event
    })
    log.considerAll()
    voyage.jump(() => {
      craft.canopyFrom = before
      craft.canopyTo = canopy.area
      craft.fillTime = canopy.fillTime
      craft.opened = from.time
      craft.lanes.forEach((lane, l) => {
        const change = directions[l]!.canopies[index]!
        lane.canopyTo = change.area
        lane.fillTime = change.fillTime
        lane.fillClock = -lane.event
      })
      log.under(index)
    })
    log.considerAll()
    this.open0++
    if (this.ready()) this.open()
  }

  /** The canopy is full. */
  full(): void {
    const { voyage } = this
    const { craft, from } = voyage
    for (const lane of craft.lanes) lane.event = lane.fillTime - lane.fillClock
    voyage.cross(() => {
      craft.fillTime = 0
      craft.opened = from.time
      craft.canopyFrom = craft.canopyTo
      voyage.observer?.event('full canopy', craft, from, this.order[this.open0 - 1]!)
    })
  }

  /** How a flight that has reached the ground ended. */
  verdict(): End {
    const { plan } = this.voyage
    if (this.next < 0) return 'comes down'
    // While a stage still burns none may open, safe or not.
    if (!this.armed) return 'hits the ground before opening'
    return plan.canopies[this.next]!.altitude > plan.launchAltitude
      ? 'never safe to open'
      : 'hits the ground before opening'
  }
}
