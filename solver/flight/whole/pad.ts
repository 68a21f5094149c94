import { layerAt } from './air.ts'
import { vary } from './changes.ts'
import { complete } from './forces.ts'
import { H, MASS, type Point, SIZE } from './point.ts'
import { carry, ignite } from './staging.ts'
import { attempt, moveLanes } from './step.ts'
import type { Way } from './way.ts'

/** Steps that a burn on the pad is cut into. */
const PARTS = 20

/**
 * From ignition to release, at the first moment when thrust passes weight (along a rail: weight times the sine of its elevation). Time
 * counts from release afterwards, and lanes with it: so what is burnt while held moves nothing but the time. False where it never leaves.
 */
export function standOnPad(voyage: Way): boolean {
  const { craft, plan, directions, schedule } = voyage
  const { from } = voyage
  const burn = schedule.burns[0]
  from.time = 0
  from.state.fill(0)
  from.state[H] = plan.launchAltitude
  from.state[MASS] = burn ? burn.full.value : plan.stages.reduce((mass, stage) => mass + stage.dryMass, 0)
  craft.layer = layerAt(craft.air, plan.launchAltitude, true)
  craft.lanes.forEach((lane, l) => {
    const direction = directions[l]!
    lane.state.fill(0)
    lane.state[H] = direction.launchAltitude
    lane.elevation = direction.railElevation
    lane.nose = plan.noseRadius > 0 ? direction.noseRadius / plan.noseRadius : 0
    lane.state[MASS] = burn ? burn.full.slopes[l]! : direction.stages.reduce((mass, stage) => mass + stage.dryMass, 0)
    lane.burnClock = 0
    lane.pitchClock = 0
  })
  carry(voyage, burn?.stage ?? 0)
  if (burn) ignite(voyage, 0)
  complete(craft, from)
  if (!burn) {
    voyage.log.stay()
    return false
  }
  // Empty stages below the first motor fall off at its ignition: they are left on the pad.
  for (let below = 0; below < burn.stage; below++) voyage.observer?.event('drop', craft, from, below)
  voyage.observer?.event('ignition', craft, from, burn.stage)
  voyage.log.ignite(0)
  return hold(voyage, burn.burnout.value)
}

function gapOf(voyage: Way, point: Point): number {
  return point.push - point.gravity * voyage.craft.sine
}

function hold(voyage: Way, burnout: number): boolean {
  const { craft, care } = voyage
  let ready = gapOf(voyage, voyage.from) > 0 || (gapOf(voyage, voyage.from) === 0 && voyage.from.pushRate > 0)
  for (const lane of craft.lanes) lane.event = 0
  while (!ready) {
    const { from, to } = voyage
    const left = burnout - from.time
    const knot = craft.shape?.knots[craft.shapePiece + 1]
    const toKnot = knot === undefined ? left : knot / craft.cap - from.time
    const dt = Math.min(burnout / PARTS, toKnot, left)
    if (dt <= 1e-13 * burnout) {
      if (left <= 1e-13 * burnout) {
        spend(voyage)
        return false
      }
      craft.shapePiece++
      complete(craft, from)
      continue
    }
    voyage.log.weigh()
    craft.step = dt
    attempt(craft, from, to, care)
    let taken = dt
    if (gapOf(voyage, to) > 0) {
      taken = releaseTime(voyage, dt)
      ready = true
    }
    craft.step = taken
    moveLanes(craft, from)
    voyage.observer?.step(craft, from, to, taken, [])
    voyage.from = to
    voyage.to = from
    if (!ready) continue
    craft.lanes.forEach((lane, l) => {
      vary(craft, to, lane, l)
      const change = craft.change.push - craft.change.felt * craft.sine - to.gravity * craft.cosine * lane.elevation
      lane.event = -change / to.pushRate
    })
  }
  release(voyage)
  return true
}

/** The part of a step after which thrust equals weight. */
function releaseTime(voyage: Way, dt: number): number {
  const { craft, from, to, care } = voyage
  let low = 0
  let high = dt
  let guess = dt
  for (let i = 0; i < 80; i++) {
    const gap = gapOf(voyage, to)
    if (gap > 0) high = guess
    else low = guess
    const newton = guess - gap / to.pushRate
    const next = newton > low && newton < high ? newton : 0.5 * (low + high)
    if (Math.abs(next - guess) <= 1e-15 * dt) break
    guess = next
    craft.step = guess
    attempt(craft, from, to, care)
  }
  return guess
}

/** Time begins anew. */
function release(voyage: Way): void {
  const { craft, from } = voyage
  craft.hold = from.time
  craft.ignition -= from.time
  from.time = 0
  craft.lanes.forEach((lane, l) => {
    for (let k = 0; k < SIZE; k++) lane.state[k]! += from.rates[k]! * lane.event
    voyage.holdSlopes[l] = lane.event
    lane.burnClock += lane.event
    lane.pitchClock = lane.event
  })
}

/** All is burnt and it still stands there. */
function spend(voyage: Way): void {
  const { craft, schedule } = voyage
  const burn = schedule.burns[0]!
  craft.lanes.forEach((lane, l) => {
    lane.event = burn.burnout.slopes[l]!
  })
  voyage.log.weigh()
  voyage.log.stay()
  voyage.observer?.event('burnout', craft, voyage.from, burn.stage)
}
