import { PAD_DEPTH, STILL } from '../stay.ts'
import { startsInAir, tellsMach } from '../tells.ts'
import { vary } from './changes.ts'
import { MASS } from './point.ts'
import type { Peak } from './records.ts'
import { totalRatio } from './totals.ts'
import type { Way } from './way.ts'

/** On the pad: thrust over weight, at its best. */
export function weigh({ craft, from }: Way, best: Peak): void {
  const weight = from.gravity * craft.sine
  const ratio = from.push / weight
  if (!(ratio > best.value)) return
  best.value = ratio
  craft.lanes.forEach((lane, l) => {
    vary(craft, from, lane, l)
    const fall = craft.change.felt * craft.sine + from.gravity * craft.cosine * lane.elevation
    best.slopes[l] = (craft.change.push + from.pushRate * lane.event - ratio * fall) / weight
  })
}

/** The figures of a rocket that never leaves the pad; where nothing burns there is no burnout. */
export function putStay(way: Way, best: Peak): void {
  const { from, plan, schedule, directions, ledger } = way
  const { radius } = plan.body
  const altitude = (l: number): number => directions[l]!.launchAltitude
  const none = (): number => 0
  for (const name of STILL) ledger.put(name, 0, none)
  ledger.put('spaceborne time', 0, none)
  const { gravity } = from
  const felt = (l: number): number => -2 * gravity * from.nearness * altitude(l)
  ledger.put('peak g', gravity, felt)
  ledger.put('peak g burning', gravity, felt)
  ledger.put('apoapsis', plan.launchAltitude, altitude)
  const share = radius / (radius + plan.launchAltitude)
  const burn = schedule.burns[0]
  const ratio = Math.max(0, best.value)
  ledger.put(
    'apoapsis energy',
    share * plan.launchAltitude - PAD_DEPTH * (1 - ratio),
    l => share * share * altitude(l) + (best.value > 0 ? PAD_DEPTH * best.slopes[l]! : 0),
  )
  if (startsInAir(plan)) ledger.put('max q altitude', plan.launchAltitude, altitude)
  if (startsInAir(plan) && tellsMach(plan.body)) ledger.put('max mach', 0, none)
  if (!burn) return
  ledger.put('burnout altitude', plan.launchAltitude, altitude)
  ledger.put('burnout speed', 0, none)
  const weight = burn.empty.value * plan.body.gravity
  const force = from.push * from.state[MASS]!
  ledger.put('burnout ratio', force / weight, totalRatio(way, force / weight, weight, burn.empty.slopes))
}
