import { startsInAir, tellsMach } from '../fly.ts'
import type { Plan } from '../plan.ts'
import { vary } from './changes.ts'
import { type Felt, type Trace, worstRatio } from './crew.ts'
import type { FlightFigure, StageFigure } from './figures.ts'
import { orbitOf } from './kepler.ts'
import { ANGLE, BACK_LOSS, DRAG_LOSS, H, HEAT, MASS, type Point, U, W } from './point.ts'
import { consider, createPeak, type Peak, type PeakSet, WATCHED } from './records.ts'
import type { Burn } from './schedule.ts'
import type { Journal, Way } from './way.ts'

/** Below this thrust over weight a flight that stays on the pad counts as that much lower in `apoapsis energy` [m per 1]. */
const PAD_DEPTH = 20000

/** What is zero where nothing moves. */
const STILL: readonly FlightFigure[] = [
  'max q',
  'max q burning',
  'max speed',
  'apoapsis time',
  'apoapsis speed',
  'gravity loss',
  'drag loss',
  'back pressure loss',
]

/** Figures that every flight off the pad has; one that is no number means the integration went astray. */
const ALWAYS: readonly FlightFigure[] = ['peak g', 'max speed', 'max q']

/** A stage at its drop: the state of all, and by lane how that moves with the drop and the drop itself with the lever. */
export interface Dropped {
  readonly stage: number
  readonly time: number
  readonly state: Float64Array
  readonly lanes: readonly { readonly state: Float64Array; readonly event: number }[]
}

type Phase = { readonly burning: PeakSet; readonly coasting: PeakSet }

/** Writes a flight's figures down as they come about. */
export class Log implements Journal {
  /** Whether the window of the ascent is open: from leaving the pad to the later of apoapsis and last burnout. */
  ascending = false
  /** Whether it has passed an apoapsis; whether it has risen above the space boundary and not come back. */
  fallen = false
  inSpace = false
  coasting = false
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
  private heatSlopesAtTop: Float64Array
  private readonly best: Peak

  constructor(voyage: Way) {
    this.voyage = voyage
    const lanes = voyage.directions.length
    const { plan } = voyage
    const peak = (): Peak => createPeak(lanes)
    this.phases = voyage.schedule.burns.map(() => ({
      burning: { felt: peak(), q: peak() },
      coasting: { felt: peak(), q: peak() },
    }))
    const heat = voyage.craft.heating > 0 ? { heat: peak() } : {}
    this.window = { speed: peak(), mach: peak(), ...heat }
    this.openings = plan.canopies.map(peak)
    this.spaceEdge = plan.space !== null && plan.space > plan.launchAltitude ? plan.space : null
    this.spaceFrom = { time: Number.NaN, slopes: new Float64Array(lanes) }
    this.heatSlopesAtTop = new Float64Array(lanes)
    this.best = peak()
  }

  /** The peaks that are open at the moment. */
  sets(): readonly PeakSet[] {
    const sets: PeakSet[] = []
    if (this.ascending) {
      const phase = this.phases[this.burn]!
      sets.push(this.coasting ? phase.coasting : phase.burning, this.window)
    }
    if (this.entry) sets.push(this.entry)
    if (this.canopy >= 0) sets.push({ felt: this.openings[this.canopy]! })
    return sets
  }

  /** Where the flight is may hold the largest value of anything; without air neither dynamic pressure nor mach counts. */
  considerAll(): void {
    this.consider(false)
  }

  /** A peak inside a step has been landed on. Others may lie so near that the next step begins behind them. */
  stand(): void {
    this.consider(true)
  }

  private consider(inside: boolean): void {
    const { craft, from } = this.voyage
    const inAir = craft.layer < craft.air.layers.length
    const sets = this.sets()
    for (const what of WATCHED) {
      if (!inAir && (what === 'q' || what === 'mach' || what === 'heat')) continue
      consider(craft, from, sets, what, inside)
    }
  }

  ignite(burn: number): void {
    this.burn = burn
    this.coasting = false
  }

  liftoff(): void {
    this.ascending = true
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

  /** Change of a component of the state at an event. */
  private total(component: number): (lane: number) => number {
    const { craft, from } = this.voyage
    return l => craft.lanes[l]!.state[component]! + from.rates[component]! * craft.lanes[l]!.event
  }

  /** Change of the speed along the motion at an event. */
  private totalSpeed(): (lane: number) => number {
    const { craft, from } = this.voyage
    return l => {
      const lane = craft.lanes[l]!
      vary(craft, from, lane, l)
      return craft.change.speed + from.speedRate * lane.event
    }
  }

  /** Time from ignition. */
  private get now(): number {
    return this.voyage.from.time + this.voyage.craft.hold
  }

  private totalTime(): (lane: number) => number {
    const { craft, holdSlopes } = this.voyage
    return l => craft.lanes[l]!.event + holdSlopes[l]!
  }

  burnout(burn: Burn): void {
    const { craft, from, plan, ledger, schedule } = this.voyage
    const { stage } = burn
    const both = (name: StageFigure & FlightFigure, value: number, change: (lane: number) => number): void => {
      ledger.put(name, value, change)
      ledger.putStage(stage, name, value, change)
    }
    const weight = burn.empty.value * plan.body.gravity
    const force = from.push * from.state[MASS]!
    const ratio = force / weight
    both('burn time', burn.burnout.value - burn.ignition.value, l => burn.burnout.slopes[l]! - burn.ignition.slopes[l]!)
    both('burnout ratio', ratio, l => {
      const lane = craft.lanes[l]!
      vary(craft, from, lane, l)
      const push = craft.change.push + from.pushRate * lane.event
      const mass = lane.state[MASS]! + from.rates[MASS]! * lane.event
      const change = push * from.state[MASS]! + from.push * mass
      return (change - ratio * burn.empty.slopes[l]! * plan.body.gravity) / weight
    })
    both('burnout altitude', from.state[H]!, this.total(H))
    both('burnout speed', from.speed, this.totalSpeed())
    const { speed } = from
    const [u, w] = [from.state[U]!, from.state[W]!]
    this.put('burnout angle', Math.atan2(u, Math.abs(w)), l =>
      speed > 0 ? (this.total(U)(l) * Math.abs(w) - u * Math.sign(w) * this.total(W)(l)) / (speed * speed) : 0,
    )
    let ideal = 0
    const idealSlopes = new Float64Array(craft.lanes.length)
    for (const each of schedule.burns.slice(0, this.burn + 1)) {
      const logarithm = Math.log(each.full.value / each.empty.value)
      ideal += each.exhaust.value * logarithm
      for (let l = 0; l < idealSlopes.length; l++)
        idealSlopes[l]! +=
          each.exhaust.slopes[l]! * logarithm +
          each.exhaust.value * (each.full.slopes[l]! / each.full.value - each.empty.slopes[l]! / each.empty.value)
    }
    const [drag, back] = [from.state[DRAG_LOSS]!, from.state[BACK_LOSS]!]
    this.put('drag loss', drag, this.total(DRAG_LOSS))
    this.put('back pressure loss', back, this.total(BACK_LOSS))
    const [bySpeed, byDrag, byBack] = [this.totalSpeed(), this.total(DRAG_LOSS), this.total(BACK_LOSS)]
    this.put('gravity loss', ideal - speed - drag - back, l => idealSlopes[l]! - bySpeed(l) - byDrag(l) - byBack(l))
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
    this.put('rail exit speed', this.voyage.from.speed, this.totalSpeed())
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

  /** Writes down what is felt at a moment, its change by lane at fixed time (a share of the way through a step), and how the moment moves where forces jump there. */
  felt(point: Point, begin: Float64Array, end: Float64Array, share: number, shift: Float64Array | null): void {
    const moment: Felt = { time: point.time, felt: point.felt, rate: point.feltRate, begin, end, share, shift }
    if (this.ascending) this.climb.push(moment)
    if (this.fallen) this.fall.push(moment)
  }

  private putCrewMargins(): void {
    const { crewLimit, entryCrewLimit } = this.voyage.plan
    const up = crewLimit && worstRatio(this.climb, crewLimit)
    const down = entryCrewLimit && worstRatio(this.fall, entryCrewLimit)
    if (up) this.put('ascent crew margin', up.value, l => up.slopes[l]!)
    if (!this.voyage.descend) return
    if (down) this.put('entry crew margin', down.value, l => down.slopes[l]!)
    const worse = up && down ? (up.value <= down.value ? up : down) : (up ?? down)
    if (worse) this.put('crew margin', worse.value, l => worse.slopes[l]!)
  }

  /** A highest point of the flight so far: the way down begins here. */
  apoapsis(): void {
    const { craft, from } = this.voyage
    const { radius } = craft
    if (this.fallen && this.fall.length > 0 && from.state[H]! > this.highest) this.fall.length = 0
    this.considerAll()
    this.fallen = true
    const h = from.state[H]!
    if (!(h > this.highest)) return
    this.highest = h
    const share = radius / (radius + h)
    const [up, side] = [this.total(H), this.total(W)]
    this.put('apoapsis', h, up)
    this.put('apoapsis energy', share * h, l => share * share * up(l))
    this.put('apoapsis time', this.now, this.totalTime())
    this.put('apoapsis speed', from.state[W]!, side)
    const mu = craft.surfaceGravity * radius * radius
    const r = radius + h
    const circular = Math.sqrt(mu / r)
    this.put('orbit shortfall', circular - from.state[W]!, l => (-0.5 * circular * up(l)) / r - side(l))
    const { periapsis } = orbitOf(mu, r, 0, from.state[W]!)
    this.put('periapsis', periapsis.v - radius, l => periapsis.d[0] * up(l) + periapsis.d[2] * side(l))
    const lanes = craft.lanes.length
    const heat = craft.heating > 0 ? { heat: createPeak(lanes) } : {}
    this.entry = { felt: createPeak(lanes), q: createPeak(lanes), ...heat }
    this.heatAtTop = from.state[HEAT]!
    const taken = this.total(HEAT)
    this.heatSlopesAtTop = Float64Array.from(craft.lanes, (_, l) => taken(l))
  }

  /** It never comes back: 1/r of its apoapsis is 0 or less. */
  escape(farness: { readonly v: number; readonly d: readonly [number, number, number] }): void {
    const { craft } = this.voyage
    const { radius } = craft
    const none = (): number => 0
    this.considerAll()
    this.put('apoapsis', Number.POSITIVE_INFINITY, none)
    this.put('apoapsis time', Number.POSITIVE_INFINITY, none)
    this.put('apoapsis energy', radius - radius * radius * farness.v, l => {
      const { state } = craft.lanes[l]!
      const change = farness.d[0] * state[H]! + farness.d[1] * state[U]! + farness.d[2] * state[W]!
      return -radius * radius * change
    })
    this.put('spaceborne time', Number.POSITIVE_INFINITY, none)
    this.closeWindow()
    this.ascending = false
  }

  /** The ascent is over: its heat, and whether the flight goes on. */
  closeAscent(): void {
    const { voyage } = this
    this.considerAll()
    this.closeWindow()
    this.ascending = false
    if (!voyage.descend) {
      voyage.end = 'comes down'
      return
    }
    voyage.canopies.arm()
  }

  private closeWindow(): void {
    const { craft, from } = this.voyage
    if (!(craft.heating > 0)) return
    this.put('heat load', from.state[HEAT]!, this.total(HEAT))
  }

  /** A parachute opens: the first ends the entry. */
  opening(index: number): void {
    const { ledger, from, craft } = this.voyage
    ledger.putCanopy(index, 'opening speed', from.speed, this.totalSpeed())
    ledger.putCanopy(index, 'opening q', from.q, l => {
      const lane = craft.lanes[l]!
      vary(craft, from, lane, l)
      return craft.change.q + from.qRate * lane.event
    })
    ledger.putCanopy(index, 'opening altitude', from.state[H]!, this.total(H))
    ledger.putCanopy(index, 'opening time', this.now, this.totalTime())
  }

  /** From now on under a parachute. */
  under(index: number): void {
    this.endEntry()
    this.canopy = index
  }

  private endEntry(): void {
    const { entry } = this
    if (!entry) return
    this.entry = null
    const put = (name: FlightFigure, peak: Peak | undefined): void => {
      if (peak) this.put(name, Math.max(0, peak.value), l => (peak.value < 0 ? 0 : peak.slopes[l]!))
    }
    put('entry g', entry.felt)
    put('entry q', entry.q)
    put('entry heat flux', entry.heat)
    if (!entry.heat) return
    const taken = this.total(HEAT)
    const load = this.voyage.from.state[HEAT]! - this.heatAtTop
    this.put('entry heat load', load, l => taken(l) - this.heatSlopesAtTop[l]!)
  }

  ground(): void {
    const { craft, from, ledger } = this.voyage
    this.endEntry()
    const last = this.fall.pop()
    if (last) this.fall.push({ ...last, shift: Float64Array.from(craft.lanes, lane => lane.event) })
    const speed = this.totalSpeed()
    const mass = from.state[MASS]!
    const massChange = this.total(MASS)
    this.put('touchdown speed', from.speed, speed)
    this.put(
      'touchdown energy',
      0.5 * mass * from.speed * from.speed,
      l => from.speed * (mass * speed(l) + 0.5 * from.speed * massChange(l)),
    )
    this.put('flight time', this.now, this.totalTime())
    const run = this.total(ANGLE)
    this.put('downrange', craft.radius * from.state[ANGLE]!, l => craft.radius * run(l))
    if (this.inSpace) this.putSpaceborne()
    if (Number.isNaN(this.spaceFrom.time)) this.put('spaceborne time', 0, () => 0)
    this.openings.forEach((peak, index) => {
      if (peak.value >= 0) ledger.putCanopy(index, 'opening g', peak.value, l => peak.slopes[l]!)
    })
  }

  /** Peaks by phase, and the largest of all. */
  putPeaks(): void {
    this.putCrewMargins()
    const { ledger, schedule, plan } = this.voyage
    const put = (name: FlightFigure, peak: Peak | undefined): void => {
      if (peak) this.put(name, Math.max(0, peak.value), l => (peak.value < 0 ? 0 : peak.slopes[l]!))
    }
    const largest = (peaks: readonly Peak[]): Peak =>
      peaks.reduce((best, peak) => (peak.value > best.value ? peak : best))
    const pick = (phase: keyof Phase, what: 'felt' | 'q'): Peak[] => this.phases.map(each => each[phase][what]!)
    this.phases.forEach((phase, index) => {
      const { stage } = schedule.burns[index]!
      for (const [name, peak] of [
        ['peak g burning', phase.burning.felt],
        ['peak g coasting', phase.coasting.felt],
        ['max q burning', phase.burning.q],
        ['max q coasting', phase.coasting.q],
      ] as const)
        ledger.putStage(stage, name, Math.max(0, peak!.value), l => (peak!.value < 0 ? 0 : peak!.slopes[l]!))
    })
    put('peak g burning', largest(pick('burning', 'felt')))
    put('peak g coasting', largest(pick('coasting', 'felt')))
    put('max q burning', largest(pick('burning', 'q')))
    put('max q coasting', largest(pick('coasting', 'q')))
    put('peak g', largest([...pick('burning', 'felt'), ...pick('coasting', 'felt')]))
    const q = largest([...pick('burning', 'q'), ...pick('coasting', 'q')])
    put('max q', q)
    if (q.value >= 0) this.put('max q altitude', q.altitude, l => q.altitudeSlopes[l]!)
    put('max speed', this.window.speed)
    put('peak heat flux', this.window.heat)
    if (this.window.mach!.value >= 0 && tellsMach({ body: plan.body } as Plan)) put('max mach', this.window.mach)
  }

  /** On the pad: thrust over weight, at its best. */
  weigh(): void {
    const { craft, from } = this.voyage
    const weight = from.gravity * craft.sine
    const ratio = from.push / weight
    if (!(ratio > this.best.value)) return
    this.best.value = ratio
    craft.lanes.forEach((lane, l) => {
      vary(craft, from, lane, l)
      const fall = craft.change.felt * craft.sine + from.gravity * craft.cosine * lane.elevation
      this.best.slopes[l] = (craft.change.push + from.pushRate * lane.event - ratio * fall) / weight
    })
  }

  /** The figures of a rocket that never leaves the pad; where nothing burns there is no burnout. */
  stay(): void {
    const { craft, from, plan, schedule, directions } = this.voyage
    const { radius } = plan.body
    const altitude = (l: number): number => directions[l]!.launchAltitude
    const none = (): number => 0
    for (const name of STILL) this.put(name, 0, none)
    const { gravity } = from
    const felt = (l: number): number => -2 * gravity * from.nearness * altitude(l)
    this.put('peak g', gravity, felt)
    this.put('peak g burning', gravity, felt)
    this.put('apoapsis', plan.launchAltitude, altitude)
    const share = radius / (radius + plan.launchAltitude)
    const burn = schedule.burns[0]
    const ratio = Math.max(0, this.best.value)
    this.put(
      'apoapsis energy',
      share * plan.launchAltitude - PAD_DEPTH * (1 - ratio),
      l => share * share * altitude(l) + (this.best.value > 0 ? PAD_DEPTH * this.best.slopes[l]! : 0),
    )
    const start = { body: plan.body, launchAltitude: plan.launchAltitude } as Plan
    if (startsInAir(start)) this.put('max q altitude', plan.launchAltitude, altitude)
    if (startsInAir(start) && tellsMach(start)) this.put('max mach', 0, none)
    if (!burn) return
    this.put('burnout altitude', plan.launchAltitude, altitude)
    this.put('burnout speed', 0, none)
    const weight = burn.empty.value * plan.body.gravity
    const force = from.push * from.state[MASS]!
    this.put('burnout ratio', force / weight, l => {
      vary(craft, from, craft.lanes[l]!, l)
      const lane = craft.lanes[l]!
      const push = craft.change.push + from.pushRate * lane.event
      const mass = lane.state[MASS]! + from.rates[MASS]! * lane.event
      const change = push * from.state[MASS]! + from.push * mass
      return (change - (force / weight) * burn.empty.slopes[l]! * plan.body.gravity) / weight
    })
  }

  /** Whether the figures that every flight off the pad has are numbers. */
  sound(): boolean {
    const { ledger, end } = this.voyage
    const back = end !== 'escapes' && end !== 'goes into orbit'
    if (back && !Number.isFinite(ledger.at('apoapsis'))) return false
    return ALWAYS.every(name => Number.isFinite(ledger.at(name)))
  }
}
