import { REFERENCE_PRESSURE } from '../pad.ts'
import { PAD_DEPTH, STILL } from '../stay.ts'
import { startsInAir, tellsMach } from '../tells.ts'
import { vary } from './changes.ts'
import type { WholeStage } from './plan.ts'
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

/** The same where nothing burns: by the first motor there is, as if it had just a little to burn, so that a search sees no step where propellant runs out. */
function weighUnlit({ craft, from, plan, directions }: Way, best: Peak): void {
  const index = plan.stages.findIndex(({ vacuumThrust }) => vacuumThrust > 0)
  if (index < 0) return
  const { vacuumThrust, seaLevelThrust, throttleCap } = plan.stages[index]!
  const begins = plan.shapes[index]?.coefficients[0] ?? 1
  const lost = from.pressure / REFERENCE_PRESSURE
  const push = begins * (vacuumThrust - (vacuumThrust - seaLevelThrust) * lost)
  const weight = from.gravity * craft.sine
  const massOf = (stages: readonly WholeStage[]): number =>
    stages.slice(index).reduce((mass, { dryMass }) => mass + dryMass, 0)
  const mass = massOf(plan.stages)
  best.value = (throttleCap * Math.max(0, push)) / (mass * weight)
  directions.forEach(({ stages, launchAltitude, railElevation }, l) => {
    const by = stages[index]!
    const thinner = (from.pressureSlope * launchAltitude) / REFERENCE_PRESSURE
    const pushed =
      begins *
      (by.vacuumThrust - (by.vacuumThrust - by.seaLevelThrust) * lost - (vacuumThrust - seaLevelThrust) * thinner)
    const force = by.throttleCap * Math.max(0, push) + (push > 0 ? throttleCap * pushed : 0)
    const fall = from.gravity * (craft.cosine * railElevation - 2 * craft.sine * from.nearness * launchAltitude)
    best.slopes[l] = (force - best.value * (massOf(stages) * weight + mass * fall)) / (mass * weight)
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
  if (!burn) weighUnlit(way, best)
  const ratio = Math.max(0, best.value)
  const short = burn !== undefined || ratio < 1
  ledger.put(
    'apoapsis energy',
    share * plan.launchAltitude - (short ? PAD_DEPTH * (1 - ratio) : 0),
    l => share * share * altitude(l) + (short && best.value > 0 ? PAD_DEPTH * best.slopes[l]! : 0),
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
