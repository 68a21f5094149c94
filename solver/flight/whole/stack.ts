import { type AscentEnd, ascend, coast, coastLane, openAfter, reopen } from '../ascent.ts'
import { addHold, firstGain, type Gain, putApoapsis, putBurnout, putPeak, putPeaks } from '../ascent-figures.ts'
import { coastToApoapsis } from '../coast.ts'
import { setDrag } from '../drag.ts'
import { isWhole, STEP_LIMIT, TOLERANCES, workspace } from '../fly.ts'
import { jumpLanes, type Rates } from '../lanes.ts'
import { setAir } from '../layers.ts'
import { type Pad, padSlopes, standOnPad } from '../pad.ts'
import { considerAll } from '../peaks.ts'
import type { Accuracy, StageNumbers } from '../plan.ts'
import { prepare } from '../release.ts'
import type { End, Workspace } from '../workspace.ts'
import { isReached } from './clock.ts'
import { Ledger, stagePlace } from './figures.ts'
import type { WholeFlown } from './fly.ts'
import type { WholeDirection, WholePlan } from './plan.ts'
import { type Appointment, type Burn, type Schedule, scheduleOf } from './schedule.ts'

/** A burn in numbers as the quick ascent takes them, or their change by one lever: thrust − back · p [N], [m2]; flow [kg/s]; mass after it [kg]. */
interface BurnNumbers {
  readonly thrust: number
  readonly back: number
  readonly flow: number
  readonly dryMass: number
}

/** A flight of stages under way. */
interface Stack {
  readonly w: Workspace
  readonly plan: WholePlan
  readonly directions: readonly WholeDirection[]
  readonly schedule: Schedule
  readonly ledger: Ledger
  readonly pad: Pad
  readonly changes: readonly Pad[]
  readonly gain: Gain
  /** The burn in hand and its changes by lane. */
  numbers: BurnNumbers
  slopes: readonly BurnNumbers[]
  /** Next appointment. */
  next: number
}

/** Whether a plan is of stages straight up with flat thrust, which `flyStack` can follow. */
export function isStack({ railElevation, pitch, shapes }: WholePlan, directions: readonly WholeDirection[]): boolean {
  if (railElevation !== Math.PI / 2 || pitch !== null) return false
  return shapes.every(shape => shape === null) && directions.every(direction => direction.railElevation === 0)
}

/**
 * Flies stages straight up to apoapsis by the quick ascent, burn after burn, with its figures and the stages' own, and their derivatives along each
 * direction. The plan must be without fault and of such stages (`isStack`). Null where the general flight must follow it: it does
 * not leave the pad, turns before all is burnt and dropped, or ignites where pressure undoes its thrust.
 */
export function flyStack(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  accuracy: Accuracy,
): WholeFlown | null {
  return flyStackAt(plan, directions, TOLERANCES[accuracy])
}

/** The same at any relative tolerance. */
export function flyStackAt(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  tolerance: number,
): WholeFlown | null {
  const schedule = scheduleOf(plan, directions)
  const { burns } = schedule
  const [first] = burns
  if (!first) return null
  const { pad, changes } = firstPad(plan, directions, first)
  if (pad.burn === 0) return null
  const w = workspace
  const ledger = new Ledger(plan.stages.length, plan.canopies.length, directions.length)
  const phases = 2 * burns.length
  const ideal = Math.max(...burns.map(({ exhaust, full, empty }) => exhaust.value * Math.log(full.value / empty.value)))
  prepare(w, plan, pad, changes, phases, tolerance, ideal)
  const it: Stack = {
    w,
    plan,
    directions,
    schedule,
    ledger,
    pad,
    changes,
    gain: firstGain(pad, changes),
    numbers: pad,
    slopes: changes,
    next: 0,
  }
  setAir(w, plan, null)
  carry(it, first.stage)
  const knots = plan.restarts.reduce((sum, { length }) => sum + length, 0)
  const end = ascend(w, STEP_LIMIT * burns.length + 20 * knots, (_, before, after) => keep(it, before, after), null)
  return end.kind === 'lost' ? null : finish(it, phases, end)
}

/** The figures at the end. */
function finish(it: Stack, phases: number, ascent: Exclude<AscentEnd, { kind: 'lost' }>): WholeFlown | null {
  const { w, ledger, plan, schedule } = it
  // A ledger begins with FLOWN, so that what writes those figures of one stage writes them here as well.
  const { figures, slopes } = ledger
  const escapes = ascent.kind === 'vacuum' && coastToApoapsis(w, ascent.end, figures, slopes)
  if (ascent.kind === 'apoapsis') putApoapsis(w, ascent.end, figures, slopes)
  addHold(it.pad, it.changes, figures, slopes)
  putPeaks(w, plan.body, phases, figures, slopes)
  schedule.burns.forEach(({ stage }, k) => {
    const lanes = w.laneCount
    putPeak(stagePlace(stage, 'peak g burning'), w.peakG[2 * k]!, lanes, figures, slopes)
    putPeak(stagePlace(stage, 'peak g coasting'), w.peakG[2 * k + 1]!, lanes, figures, slopes)
    putPeak(stagePlace(stage, 'max q burning'), w.maxQ[2 * k]!, lanes, figures, slopes)
    putPeak(stagePlace(stage, 'max q coasting'), w.maxQ[2 * k + 1]!, lanes, figures, slopes)
  })
  const outcome = escapes ? 'escapes' : 'comes down'
  return isWhole(figures, outcome) ? { outcome, figures, slopes, evaluations: w.evaluations } : null
}

/** The first burn on the pad, all that flies with it as its dry mass. */
function firstPad(
  plan: WholePlan,
  directions: readonly WholeDirection[],
  { stage, full, empty }: Burn,
): { readonly pad: Pad; readonly changes: readonly Pad[] } {
  const loaded = (numbers: StageNumbers, dryMass: number, all: number): StageNumbers => ({
    dryMass,
    propellantMass: all - dryMass,
    vacuumThrust: numbers.vacuumThrust,
    seaLevelThrust: numbers.seaLevelThrust,
    exhaustSpeed: numbers.exhaustSpeed,
    throttleCap: numbers.throttleCap,
    referenceArea: numbers.referenceArea,
    drag: numbers.drag,
  })
  const { body, launchAltitude } = plan
  const stages = [loaded(plan.stages[stage]!, empty.value, full.value)]
  const single = { body, launchAltitude, stages, restarts: plan.restarts[stage]! }
  const pad = standOnPad(single)
  const changes = directions.map((direction, l) =>
    padSlopes(single, pad, {
      launchAltitude: direction.launchAltitude,
      stages: [loaded(direction.stages[stage]!, empty.slopes[l]!, full.slopes[l]!)],
    }),
  )
  return { pad, changes }
}

/** The stage that is lowest from now on sets the drag. */
function carry({ w, plan, directions }: Stack, stage: number): void {
  const changes = directions.map(direction => direction.stages[stage]!)
  setDrag(w, plan.stages[stage]!, changes, plan.restarts[stage]!)
}

/** Keeps all that comes at one moment: peaks count before and after, not between. */
function keep(it: Stack, before: End, after: End): boolean {
  const { w, schedule, pad } = it
  const moment = w.until
  let near: Rates = before
  for (let first = true; ; first = false) {
    const appointment = schedule.appointments[it.next]
    if (!appointment || !isReached(appointment.at.value - pad.hold, moment)) break
    it.next++
    for (let l = 0; l < w.laneCount; l++) w.lanes[l]!.event = appointment.at.slopes[l]! - it.changes[l]!.hold
    if (first) {
      considerAll(w, before)
      openAfter(w, before, after)
    }
    apply(it, appointment, first ? before : after)
    reopen(w, after, true)
    jumpLanes(w, near, after)
    settle(it, appointment)
    if (w.burning && !(w.thrust - w.back * after.pressure >= 0)) return false
    near = { acceleration: after.acceleration, dragLoss: after.dragLoss, pressureLoss: after.pressureLoss }
  }
  considerAll(w, after)
  const following = schedule.appointments[it.next]
  w.until = following ? following.at.value - pad.hold : Number.POSITIVE_INFINITY
  // A coast's step says nothing of the burn's.
  if (w.burning) w.natural = Math.min(w.natural, (w.until - after.time) / 5)
  return true
}

/** Changes the forces. `end`: the last end before it. */
function apply(it: Stack, appointment: Appointment, end: End): void {
  const { w, schedule } = it
  switch (appointment.kind) {
    case 'burnout': {
      const burn = schedule.burns[appointment.burn]!
      burnOut(it, burn, end)
      coast(w, burn.empty.value)
      w.losing = appointment.burn + 1 < schedule.burns.length
      return
    }
    case 'drop':
      w.mass = appointment.mass.value
      carry(it, appointment.lowest)
      return
    case 'ignition': {
      const burn = schedule.burns[appointment.burn]!
      light(it, burn)
      const { thrust, back, flow } = it.numbers
      w.burning = true
      w.losing = true
      w.phase = 2 * appointment.burn
      w.thrust = thrust
      w.back = back
      w.flow = flow
      w.mass = burn.full.value + flow * end.time
      // What pressure takes counts from here on.
      w.pressureLoss = 0
      for (let l = 0; l < w.laneCount; l++) w.lanes[l]!.pressureLoss = -end.pressureLoss * w.lanes[l]!.event
    }
  }
}

/** What a lever does to the motion from then on, where it has passed the moment. Mass counts as if it had flown off since release. */
function settle(it: Stack, appointment: Appointment): void {
  const { w, schedule, numbers, slopes } = it
  for (let l = 0; l < w.laneCount; l++) {
    const lane = w.lanes[l]!
    switch (appointment.kind) {
      case 'burnout':
        coastLane(lane, schedule.burns[appointment.burn]!.empty.slopes[l]!)
        break
      case 'drop':
        lane.mass = appointment.mass.slopes[l]!
        break
      case 'ignition': {
        const change = slopes[l]!
        const ignition = appointment.at.value - it.pad.hold
        lane.thrust = change.thrust
        lane.back = change.back
        lane.flow = change.flow
        lane.mass =
          schedule.burns[appointment.burn]!.full.slopes[l]! + change.flow * ignition + numbers.flow * lane.event
      }
    }
  }
}

/** The figures of a burnout: of the flight as long as no other comes, and of the stage. */
function burnOut({ w, ledger, gain, numbers, slopes }: Stack, burn: Burn, end: End): void {
  const { figures, slopes: rates } = ledger
  const { stage, burnout, ignition } = burn
  const time = burnout.value - ignition.value
  const timeBy = (l: number): number => burnout.slopes[l]! - ignition.slopes[l]!
  ledger.put('burn time', time, timeBy)
  ledger.putStage(stage, 'burn time', time, timeBy)
  putBurnout(w, numbers, slopes, gain, end, figures, rates)
  for (const name of ['burnout ratio', 'burnout altitude', 'burnout speed'] as const)
    ledger.putStage(stage, name, ledger.at(name), l => ledger.slopeAt(name, l))
}

/** Takes up the numbers of a burn that is lit in flight, and adds to the gain what it would gain. */
function light(it: Stack, { vacuum, beta, exhaust, full, empty }: Burn): void {
  const { gain, w } = it
  const flow = vacuum.value / exhaust.value
  it.numbers = { thrust: vacuum.value, back: vacuum.value * beta.value, flow, dryMass: empty.value }
  const logarithm = Math.log(full.value / empty.value)
  gain.ideal += exhaust.value * logarithm
  const slopes: BurnNumbers[] = []
  for (let l = 0; l < w.laneCount; l++) {
    slopes.push({
      thrust: vacuum.slopes[l]!,
      back: vacuum.slopes[l]! * beta.value + vacuum.value * beta.slopes[l]!,
      flow: (vacuum.slopes[l]! - flow * exhaust.slopes[l]!) / exhaust.value,
      dryMass: empty.slopes[l]!,
    })
    gain.idealSlopes[l]! +=
      exhaust.slopes[l]! * logarithm + exhaust.value * (full.slopes[l]! / full.value - empty.slopes[l]! / empty.value)
  }
  it.slopes = slopes
}
