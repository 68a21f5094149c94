import type { Pad } from './pad.ts'
import { PLACE } from './places.ts'
import type { BodyNumbers, FlownName } from './plan.ts'
import { takeNumbers } from './slab.ts'
import { tellsMach } from './tells.ts'
import type { End, Peak, Workspace } from './workspace.ts'

/** What the end of a burn hangs on: its thrust is thrust − back · p [N], [m2]; the mass after it [kg]. Or their changes by one lever. */
export type BurnEnd = Pick<Pad, 'thrust' | 'back' | 'dryMass'>

/** Up to a burnout: the speed that its burns would gain without losses, and what pressure took of it before the last of them [m/s]; with the changes by lane. */
export interface Gain {
  ideal: number
  readonly idealSlopes: Float64Array
  back: number
  readonly backSlopes: Float64Array
}

/** The gain of the first burn. While held, thrust carries weight and the rest of the vacuum thrust is lost to pressure. */
export function firstGain(pad: Pad, changes: readonly Pad[]): Gain {
  const ideal = pad.exhaustSpeed * Math.log(pad.liftoffMass / pad.dryMass)
  const stand = Math.log(pad.liftoffMass / pad.releaseMass) / pad.flow
  const padBack = pad.thrust - pad.padThrust
  const idealSlopes = takeNumbers(changes.length, 0)
  const backSlopes = takeNumbers(changes.length, 0)
  changes.forEach((change, lane) => {
    const standSlope =
      (change.liftoffMass / pad.liftoffMass - change.releaseMass / pad.releaseMass - stand * change.flow) / pad.flow
    idealSlopes[lane] =
      (change.exhaustSpeed * ideal) / pad.exhaustSpeed +
      pad.exhaustSpeed * (change.liftoffMass / pad.liftoffMass - change.dryMass / pad.dryMass)
    backSlopes[lane] = (change.thrust - change.padThrust) * stand + padBack * (pad.hold > 0 ? standSlope : 0)
  })
  return { ideal, idealSlopes, back: padBack * stand, backSlopes }
}

/** The figures of a burnout and the losses up to it, at its last end; `lane.event` must be set. What pressure took of the burn is added to the gain. */
export function putBurnout(
  w: Workspace,
  burn: BurnEnd,
  changes: readonly BurnEnd[],
  gain: Gain,
  end: End,
  figures: Float64Array,
  slopes: Float64Array,
): void {
  const lanes = w.laneCount
  const { pressure } = end
  const weight = burn.dryMass * w.gravity
  const ratio = (burn.thrust - burn.back * pressure) / weight
  gain.back += burn.back * w.pressureLoss
  figures[PLACE['burnout ratio']] = ratio
  figures[PLACE['burnout altitude']] = end.altitude
  figures[PLACE['burnout speed']] = end.speed
  figures[PLACE['drag loss']] = w.dragLoss
  figures[PLACE['back pressure loss']] = gain.back
  figures[PLACE['gravity loss']] = gain.ideal - end.speed - w.dragLoss - gain.back
  for (let lane = 0; lane < lanes; lane++) {
    const change = changes[lane]!
    const carried = w.lanes[lane]!
    const later = carried.event
    const altitude = carried.altitude + end.speed * later
    const speed = carried.speed + end.acceleration * later
    const thrust = change.thrust - change.back * pressure - burn.back * end.pressureSlope * altitude
    const dragLoss = carried.dragLoss + end.dragLoss * later
    const pressureLoss = carried.pressureLoss + end.pressureLoss * later
    gain.backSlopes[lane]! += change.back * w.pressureLoss + burn.back * pressureLoss
    const back = gain.backSlopes[lane]!
    slopes[PLACE['burnout ratio'] * lanes + lane] = (thrust - ratio * change.dryMass * w.gravity) / weight
    slopes[PLACE['burnout altitude'] * lanes + lane] = altitude
    slopes[PLACE['burnout speed'] * lanes + lane] = speed
    slopes[PLACE['drag loss'] * lanes + lane] = dragLoss
    slopes[PLACE['back pressure loss'] * lanes + lane] = back
    slopes[PLACE['gravity loss'] * lanes + lane] = gain.idealSlopes[lane]! - speed - dragLoss - back
  }
}

/** Apoapsis reached in air. */
export function putApoapsis(w: Workspace, end: End, figures: Float64Array, slopes: Float64Array): void {
  const { radius } = w
  const lanes = w.laneCount
  const share = radius / (radius + end.altitude)
  figures[PLACE.apoapsis] = end.altitude
  figures[PLACE['apoapsis time']] = end.time
  figures[PLACE['apoapsis speed']] = 0
  figures[PLACE['apoapsis energy']] = share * end.altitude
  for (let lane = 0; lane < lanes; lane++) {
    const change = w.lanes[lane]!.altitude
    slopes[PLACE.apoapsis * lanes + lane] = change
    slopes[PLACE['apoapsis time'] * lanes + lane] = w.lanes[lane]!.event
    slopes[PLACE['apoapsis energy'] * lanes + lane] = share * share * change
  }
}

/** Times count from ignition: the time held on the pad comes before release. */
export function addHold(pad: Pad, changes: readonly Pad[], figures: Float64Array, slopes: Float64Array): void {
  figures[PLACE['apoapsis time']]! += pad.hold
  if (figures[PLACE['apoapsis time']] === Number.POSITIVE_INFINITY) return
  changes.forEach((change, lane) => {
    slopes[PLACE['apoapsis time'] * changes.length + lane]! += change.hold
  })
}

/** The largest peak of the phases that are burns (parity 0) or coasts (1); of equals the first. */
function largest(peaks: readonly Peak[], phases: number, parity: number): Peak {
  let best = peaks[parity]!
  for (let phase = parity + 2; phase < phases; phase += 2) {
    if (peaks[phase]!.value > best.value) best = peaks[phase]!
  }
  return best
}

/** Puts a peak at a place among the figures. One never taken means never in air: no dynamic pressure. */
export function putPeak(place: number, peak: Peak, lanes: number, figures: Float64Array, slopes: Float64Array): void {
  figures[place] = Math.max(0, peak.value)
  if (peak.value < 0) return
  for (let l = 0; l < lanes; l++) slopes[place * lanes + l] = peak.slopes[l]!
}

/** Peaks of all burns and of all coasts, of so many phases, and the larger of each two. */
export function putPeaks(
  w: Workspace,
  body: BodyNumbers,
  phases: number,
  figures: Float64Array,
  slopes: Float64Array,
): void {
  const lanes = w.laneCount
  const put = (name: FlownName, peak: Peak): void => putPeak(PLACE[name], peak, lanes, figures, slopes)
  const larger = (burning: Peak, coasting: Peak): Peak => (burning.value >= coasting.value ? burning : coasting)
  const [feltBurning, feltCoasting] = [largest(w.peakG, phases, 0), largest(w.peakG, phases, 1)]
  const [qBurning, qCoasting] = [largest(w.maxQ, phases, 0), largest(w.maxQ, phases, 1)]
  put('peak g burning', feltBurning)
  put('peak g coasting', feltCoasting)
  put('peak g', larger(feltBurning, feltCoasting))
  put('max speed', w.maxSpeed)
  put('max q burning', qBurning)
  put('max q coasting', qCoasting)
  const maxQ = larger(qBurning, qCoasting)
  put('max q', maxQ)
  if (maxQ.value >= 0) {
    const place = PLACE['max q altitude']
    figures[place] = maxQ.altitude
    for (let l = 0; l < lanes; l++) slopes[place * lanes + l] = maxQ.altitudeSlopes[l]!
  }
  if (w.maxMach.value >= 0 && tellsMach(body)) put('max mach', w.maxMach)
}
