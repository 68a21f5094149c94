import { vary } from './changes.ts'
import type { Craft } from './craft.ts'
import { between, placeOf, type Watch } from './events.ts'
import { complete } from './forces.ts'
import { H, type Point, U } from './point.ts'
import { figureAt, type Watched } from './records.ts'
import { attempt, moveLanes } from './step.ts'
import { arrangeWatches } from './watches.ts'
import type { Moment, Way } from './way.ts'

/** Parts of a step between which what is felt is written down. */
const TRACE_PARTS = 8
/** Where what is felt changes by less [m/s2] along a step its ends tell enough. */
const STEADY = 0.02
/** More than a flight watches for at once. */
const MOST_WATCHES = 32
/** A step shorter than this share of what accuracy allows has led nowhere. */
const NO_STEP = 1e-9

/** Steps, and lands on what a step meets. */
export class Stride {
  /** The step that accuracy allows [s]. */
  natural = 0
  private readonly way: Way
  private watches: readonly Watch[] = []
  /** How far each watch is at the beginning of the step in hand and at its end; whether those of the beginning are known. */
  private gaps = new Float64Array(MOST_WATCHES)
  private ends = new Float64Array(MOST_WATCHES)
  private fresh = false
  /** Peaks just stood upon. */
  private readonly stood = new Set<Watch['kind']>()

  constructor(way: Way) {
    this.way = way
  }

  /** Looks anew at what may come. */
  arrange(): void {
    this.watches = arrangeWatches(this.way)
    this.stood.clear()
    this.fresh = false
  }

  private look(): void {
    const { from } = this.way
    const { watches, gaps } = this
    for (let i = 0; i < watches.length; i++) gaps[i] = watches[i]!.gap(from)
  }

  /** One step, to the next moment or event at most. False where no step can be taken. */
  take(moment: Moment): boolean {
    const { way } = this
    const { craft, from, to, care } = way
    const rest = moment.time - from.time
    let dt = this.natural
    let last = false
    if (dt > 0.999 * rest) {
      dt = rest
      last = true
    } else if (dt > 0.55 * rest) dt = 0.55 * rest
    if (!this.fresh) this.look()
    const near = this.nearest(dt)
    const aimed = near < dt
    if (aimed) {
      dt = near
      last = false
    }
    let error = attempt(craft, from, to, dt, care)
    if (!(error <= 1)) {
      this.natural = dt * (Number.isFinite(error) ? growth(error) : 0.2)
      return this.natural > 1e-14 * Math.max(1, Math.abs(from.time))
    }
    let met: Watch | null = null
    for (let round = 0; round < 12; round++) {
      const found = this.earliest(dt, met)
      if (!found) break
      met = found.watch
      last = false
      dt *= 1 + found.place
      error = attempt(craft, from, to, dt, care)
      dt = this.refine(met, dt)
    }
    const begin = way.log.tracing ? feltSlopes(craft, from) : null
    const shift = begin && craft.lanes.some(lane => lane.event !== 0) ? eventsOf(craft) : null
    moveLanes(craft, from, dt)
    if (begin) this.trace(dt, begin, shift)
    const grown = dt * growth(error)
    this.natural = met || last || aimed ? Math.max(this.natural, grown) : grown
    way.observer?.step(craft, from, to, dt)
    if (last) to.time = moment.time
    way.from = to
    way.to = from
    this.fresh = met === null
    if (!met) [this.gaps, this.ends] = [this.ends, this.gaps]
    // Two peaks in one moment would else be stood upon in turn for ever.
    if (dt > NO_STEP * this.natural) this.stood.clear()
    if (met) this.meet(met)
    else if (last) way.clock.keep(moment)
    return true
  }

  /** Writes down what is felt along the step just taken, at its ends and between. */
  private trace(dt: number, begin: Float64Array, shift: Float64Array | null): void {
    const { craft, from, to, scratch, log } = this.way
    const end = feltSlopes(craft, to)
    log.felt(from, begin, end, 0, shift)
    const change = Math.abs(to.felt - from.felt) + dt * (Math.abs(from.feltRate) + Math.abs(to.feltRate))
    const parts = change < STEADY ? 1 : TRACE_PARTS
    for (let k = 1; k < parts; k++) {
      between(craft, from, to, dt, k / parts - 1, scratch)
      log.felt(scratch, begin, end, k / parts, null)
    }
    log.felt(to, begin, end, 1, null)
  }

  /** Lands on a watch as exactly as the integrator can: Newton on the step's length. */
  private refine(watch: Watch, begin: number): number {
    const { craft, from, to, care } = this.way
    let dt = begin
    if (!isPeak(watch.kind)) {
      for (let i = 0; i < 5; i++) {
        const shift = -watch.gap(to) / watch.rate(to)
        if (!(Math.abs(shift) > 1e-12 * dt) || !(dt + shift > 0)) break
        dt += shift
        attempt(craft, from, to, dt, care)
      }
    }
    if (!Number.isNaN(watch.altitude)) {
      to.state[H] = watch.altitude
      complete(craft, to)
    }
    if (watch.kind === 'apoapsis') {
      to.state[U] = 0
      complete(craft, to)
    }
    return dt
  }

  /** The first watch that the step in hand meets, before the one already landed on. */
  private earliest(dt: number, met: Watch | null): { watch: Watch; place: number } | null {
    const { from, to, craft, scratch } = this.way
    let best: { watch: Watch; place: number } | null = null
    const { watches, gaps, ends } = this
    for (let i = 0; i < watches.length; i++) {
      const watch = watches[i]!
      const end = watch.gap(to)
      ends[i] = end
      if (watch === met || !(gaps[i]! < 0 && end >= 0) || this.stood.has(watch.kind)) continue
      const place = placeOf(craft, from, to, dt, watch, scratch)
      if (best && place >= best.place) continue
      // What comes within rounding of the event already landed on comes with it.
      if (met && place > -1e-11) continue
      if (isPeak(watch.kind) && !this.beats(watch.kind, met !== null && place === 0)) continue
      best = { watch, place }
    }
    return best
  }

  /** Whether the peak at the scratch point is larger than one that is kept. */
  private beats(kind: Watch['kind'], atEnd: boolean): boolean {
    const what = watchedOf(kind)
    const point = atEnd ? this.way.to : this.way.scratch
    return this.way.log.sets().some(set => set[what] !== undefined && figureAt(what, point) > set[what].value)
  }

  /** About when the next altitude or mach number that is watched is met: a little beyond it, so that the step meets it. */
  private nearest(horizon: number): number {
    const { from } = this.way
    let near = Number.POSITIVE_INFINITY
    const { watches, gaps } = this
    for (let i = 0; i < watches.length; i++) {
      const gap = -gaps[i]!
      if (!(gap > 0)) continue
      const watch = watches[i]!
      if (Number.isNaN(watch.altitude) && watch.kind !== 'mach') continue
      const rising = watch.rate(from)
      const altitude = !Number.isNaN(watch.altitude)
      const sign = altitude ? Math.sign(watch.altitude - from.state[H]!) : 0
      const bend = altitude ? sign * from.rates[U]! : 0
      const square = rising * rising + 2 * bend * gap
      if (!(square > 0)) continue
      const t = (2 * gap) / (rising + Math.sqrt(square))
      if (t > 0 && t < horizon) near = Math.min(near, t)
    }
    return near * 1.0005
  }

  /** A watch has been landed on. */
  private meet(watch: Watch): void {
    const { craft, from, log } = this.way
    craft.lanes.forEach((lane, l) => {
      lane.event = -watch.change(from, l) / watch.rate(from)
    })
    if (isPeak(watch.kind)) {
      log.stand()
      this.stood.add(watch.kind)
      return
    }
    this.way.happen(watch.kind)
  }
}

function eventsOf(craft: Craft): Float64Array {
  return Float64Array.from(craft.lanes, lane => lane.event)
}

/** Change of what is felt, by lane at fixed time. */
export function feltSlopes(craft: Craft, point: Point): Float64Array {
  return Float64Array.from(craft.lanes, (lane, l) => {
    vary(craft, point, lane, l)
    return craft.change.felt
  })
}

function isPeak(kind: Watch['kind']): boolean {
  return kind === 'felt' || kind === 'q' || kind === 'speed' || kind === 'mach peak' || kind === 'heat'
}

function watchedOf(kind: Watch['kind']): Watched {
  return kind === 'mach peak' ? 'mach' : (kind as Watched)
}

/** Factor for the next step: 0.9 err^(−3/16), from 0.2 to 5, by square roots. */
function growth(error: number): number {
  const eighth = Math.sqrt(Math.sqrt(Math.sqrt(error)))
  return Math.max(0.2, Math.min(5, 0.9 / (eighth * Math.sqrt(eighth))))
}
