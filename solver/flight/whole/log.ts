import { takeNumbers } from '../slab.ts'
import { putBurnout } from './burnout-figures.ts'
import type { Felt, Trace } from './crew.ts'
import { putLanding, putOpening } from './fall-figures.ts'
import type { FlightFigure } from './figures.ts'
import { putStay, weigh } from './pad-figures.ts'
import { type Phase, putCrewMargins, putPeaks } from './peak-figures.ts'
import { H, HEAT, type Point } from './point.ts'
import { createPeak, FELT, HEATING, MACH, NO_PEAKS, type Peak, type PeakSet, Q, Sought, SPEED } from './records.ts'
import type { Burn } from './schedule.ts'
import { putEscape, putTop } from './top-figures.ts'
import { total, totalSpeed } from './totals.ts'
import { traceStep } from './trace.ts'
import type { Journal, Way } from './way.ts'

/** Figures that every flight off the pad has; one that is no number means the integration went astray. */
const ALWAYS: readonly FlightFigure[] = ['peak g', 'max speed', 'max q']

/** A stage at its drop: the state of all, and by lane how that moves with the drop and the drop itself with the lever. */
export interface Dropped {
  readonly stage: number
  readonly time: number
  readonly state: Float64Array
  readonly lanes: readonly { readonly state: Float64Array; readonly event: number }[]
}

/** It lives on between flights, which run one after another. */
const SOUGHT = new Sought()

/** Peaks of what is felt and of dynamic pressure, and of heating where there is any. */
function feltAndQ(lanes: number, heats: boolean): PeakSet {
  return { ...NO_PEAKS, felt: createPeak(lanes), q: createPeak(lanes), heat: heats ? createPeak(lanes) : null }
}

/** Writes a flight's figures down as they come about. */
export class Log implements Journal {
  /** Whether the window of the ascent is open: from leaving the pad to the later of apoapsis and last burnout. */
  ascending = false
  /** Whether it has passed an apoapsis; whether it has risen above the space boundary and not come back. */
  fallen = false
  inSpace = false
  private coasting = false
  /** The peaks of the windows that are open. */
  readonly sought = SOUGHT
  /** The space boundary, null where it lies at or below the ground. */
  readonly spaceEdge: number | null
  /** The stages dropped so far, each as it was then. */
  readonly dropped: Dropped[] = []
  private readonly voyage: Way
  private readonly phases: Phase[]
  private readonly window: PeakSet
  private entry: PeakSet | null = null
  private readonly openings: readonly Peak[]
  private canopy = -1
  private burn = 0
  private highest = Number.NEGATIVE_INFINITY
  private readonly spaceFrom: { time: number; slopes: Float64Array }
  private heatAtTop = 0
  /** What is felt on the way up and down, where a crew limit asks for it. */
  private readonly climb: Trace = []
  private readonly fall: Trace = []
  private readonly heatSlopesAtTop: Float64Array
  private readonly best: Peak

  constructor(voyage: Way) {
    this.voyage = voyage
    this.sought.clear()
    const lanes = voyage.directions.length
    const { plan } = voyage
    const heats = voyage.craft.heating > 0
    this.phases = []
    for (let burn = 0; burn < voyage.schedule.burns.length; burn++)
      this.phases.push({ burning: feltAndQ(lanes, false), coasting: feltAndQ(lanes, false) })
    this.window = {
      ...NO_PEAKS,
      speed: createPeak(lanes),
      mach: createPeak(lanes),
      heat: heats ? createPeak(lanes) : null,
    }
    this.openings = plan.canopies.map(() => createPeak(lanes))
    this.spaceEdge = plan.space !== null && plan.space > plan.launchAltitude ? plan.space : null
    this.spaceFrom = { time: Number.NaN, slopes: takeNumbers(lanes, 0) }
    this.heatSlopesAtTop = takeNumbers(lanes, 0)
    this.best = createPeak(lanes)
  }

  /** Looks anew at which peaks are open. */
  private reopen(): void {
    const { sought } = this
    sought.clear()
    if (this.ascending) {
      const phase = this.phases[this.burn]!
      sought.add(this.coasting ? phase.coasting : phase.burning)
      sought.add(this.window)
    }
    if (this.entry) sought.add(this.entry)
    if (this.canopy >= 0) sought.add({ ...NO_PEAKS, felt: this.openings[this.canopy]! })
  }

  /** Where the flight is may hold the largest value of anything; without air neither dynamic pressure nor mach counts. */
  considerAll(): void {
    const { craft, from } = this.voyage
    const { sought } = this
    sought.consider(craft, from, FELT, false)
    sought.consider(craft, from, SPEED, false)
    if (craft.layer >= craft.air.layers.length) return
    sought.consider(craft, from, Q, false)
    sought.consider(craft, from, MACH, false)
    sought.consider(craft, from, HEATING, false)
  }

  coast(): void {
    this.coasting = true
    this.reopen()
  }

  ignite(burn: number): void {
    this.burn = burn
    this.coasting = false
    this.reopen()
  }

  liftoff(): void {
    this.ascending = true
    this.reopen()
    this.considerAll()
    if (this.voyage.plan.space === null || this.spaceEdge === null) {
      this.inSpace = true
      this.spaceFrom.time = 0
    }
  }

  /** Puts a figure that is a function of the moment, where the moment moves by `lane.event`. */
  private put(name: FlightFigure, value: number, change: (lane: number) => number): void {
    this.voyage.ledger.put(name, value, change)
  }

  burnout(burn: Burn): void {
    putBurnout(this.voyage, burn)
  }

  /** Keeps how a stage begins its own fall. */
  drop(stage: number): void {
    const { craft, from } = this.voyage
    const lanes = craft.lanes.map(lane => ({
      state: lane.state.map((slope, k) => slope + from.rates[k]! * lane.event),
      event: lane.event,
    }))
    this.dropped.push({ stage, time: from.time, state: from.state.slice(), lanes })
  }

  railEnd(): void {
    this.put('rail exit speed', this.voyage.from.speed, totalSpeed(this.voyage))
  }

  space(): void {
    const { craft } = this.voyage
    if (this.inSpace) {
      this.putSpaceborne()
      this.inSpace = false
      return
    }
    this.inSpace = true
    if (!Number.isNaN(this.spaceFrom.time)) return
    this.spaceFrom.time = this.voyage.from.time
    craft.lanes.forEach((lane, l) => {
      this.spaceFrom.slopes[l] = lane.event
    })
  }

  private putSpaceborne(): void {
    const { craft, from } = this.voyage
    this.put('spaceborne time', from.time - this.spaceFrom.time, l => craft.lanes[l]!.event - this.spaceFrom.slopes[l]!)
  }

  /** Whether what is felt is written down. */
  get tracing(): boolean {
    const { crewLimit, entryCrewLimit } = this.voyage.plan
    return (crewLimit !== null && this.ascending) || (entryCrewLimit !== null && this.fallen)
  }

  /** Writes down what is felt at a moment, its change by lane at fixed time, and how the moment moves where forces jump there. */
  felt(point: Point, slopes: Float64Array, shift: Float64Array | null): void {
    const moment: Felt = { time: point.time, felt: point.felt, rate: point.feltRate, slopes, shift }
    if (this.ascending) this.climb.push(moment)
    if (this.fallen) this.fall.push(moment)
  }

  /** Writes down what is felt along the step just taken. */
  trace(dt: number, peak: number, shift: Float64Array): void {
    traceStep(this.voyage, dt, peak, shift)
  }

  /** A highest point of the flight so far: the way down begins here. */
  apoapsis(): void {
    const { craft, from } = this.voyage
    if (this.fallen && this.fall.length > 0 && from.state[H]! > this.highest) this.fall.length = 0
    this.considerAll()
    this.fallen = true
    const h = from.state[H]!
    if (!(h > this.highest)) return
    this.highest = h
    putTop(this.voyage)
    this.entry = feltAndQ(craft.lanes.length, craft.heating > 0)
    this.reopen()
    this.heatAtTop = from.state[HEAT]!
    const taken = total(this.voyage, HEAT)
    for (let l = 0; l < craft.lanes.length; l++) this.heatSlopesAtTop[l] = taken(l)
  }

  /** It never comes back: 1/r of its apoapsis is 0 or less. */
  escape(farness: { readonly v: number; readonly d: readonly [number, number, number] }): void {
    this.considerAll()
    putEscape(this.voyage, farness)
    this.closeWindow()
    this.ascending = false
    this.reopen()
  }

  /** The ascent is over: its heat, and whether the flight goes on; where it ends on the ground nothing opens any more. */
  closeAscent(landed: boolean): void {
    const { voyage } = this
    this.considerAll()
    this.end(this.climb)
    this.closeWindow()
    this.ascending = false
    this.reopen()
    if (!voyage.descend) {
      voyage.end = 'comes down'
      return
    }
    if (!landed) voyage.canopies.arm()
  }

  private closeWindow(): void {
    const { craft, from } = this.voyage
    if (!(craft.heating > 0)) return
    this.put('heat load', from.state[HEAT]!, total(this.voyage, HEAT))
  }

  /** A parachute opens: the first ends the entry. */
  opening(index: number): void {
    putOpening(this.voyage, index)
  }

  /** From now on under a parachute. */
  under(index: number): void {
    this.endEntry()
    this.canopy = index
    this.reopen()
  }

  private endEntry(): void {
    const { entry } = this
    if (!entry) return
    this.entry = null
    this.reopen()
    const put = (name: FlightFigure, peak: Peak | null): void => {
      if (peak) this.put(name, Math.max(0, peak.value), l => (peak.value < 0 ? 0 : peak.slopes[l]!))
    }
    put('entry g', entry.felt)
    put('entry q', entry.q)
    put('entry heat flux', entry.heat)
    if (!entry.heat) return
    const taken = total(this.voyage, HEAT)
    const load = this.voyage.from.state[HEAT]! - this.heatAtTop
    this.put('entry heat load', load, l => taken(l) - this.heatSlopesAtTop[l]!)
  }

  /** The last moment of a trace moves with what ended it. */
  private end(trace: Trace): void {
    const last = trace.pop()
    if (last) trace.push({ ...last, shift: Float64Array.from(this.voyage.craft.lanes, lane => lane.event) })
  }

  ground(): void {
    const { ledger } = this.voyage
    this.endEntry()
    this.end(this.fall)
    putLanding(this.voyage)
    if (this.inSpace) this.putSpaceborne()
    if (Number.isNaN(this.spaceFrom.time)) this.put('spaceborne time', 0, () => 0)
    this.openings.forEach((peak, index) => {
      if (peak.value >= 0) ledger.putCanopy(index, 'opening g', peak.value, l => peak.slopes[l]!)
    })
  }

  /** What is known only when all is over. */
  putPeaks(): void {
    putCrewMargins(this.voyage, this.climb, this.fall)
    putPeaks(this.voyage, this.phases, this.window)
  }

  /** On the pad: thrust over weight, at its best. */
  weigh(): void {
    weigh(this.voyage, this.best)
  }

  stay(): void {
    putStay(this.voyage, this.best)
  }

  /** Whether the figures that every flight off the pad has are numbers. */
  sound(): boolean {
    const { ledger, end } = this.voyage
    const back = end !== 'escapes' && end !== 'goes into orbit'
    if (back && !Number.isFinite(ledger.at('apoapsis'))) return false
    return ALWAYS.every(name => Number.isFinite(ledger.at(name)))
  }
}
