import { takeNumbers } from '../slab.ts'
import type { FlightFigure, StageFigure } from './figures.ts'
import { BACK_LOSS, DRAG_LOSS, H, MASS, U, W } from './point.ts'
import type { Burn } from './schedule.ts'
import { total, totalRatio, totalSpeed } from './totals.ts'
import type { Way } from './way.ts'

/** The figures of a burnout, before forces change: of the stage, and of the flight as long as no other burns out. */
export function putBurnout(way: Way, burn: Burn): void {
  const { craft, from, plan, ledger, schedule } = way
  const { stage } = burn
  const both = (name: StageFigure & FlightFigure, value: number, change: (lane: number) => number): void => {
    ledger.put(name, value, change)
    ledger.putStage(stage, name, value, change)
  }
  const weight = burn.empty.value * plan.body.gravity
  const force = from.push * from.state[MASS]!
  const ratio = force / weight
  both('burn time', burn.burnout.value - burn.ignition.value, l => burn.burnout.slopes[l]! - burn.ignition.slopes[l]!)
  both('burnout ratio', ratio, totalRatio(way, ratio, weight, burn.empty.slopes))
  both('burnout altitude', from.state[H]!, total(way, H))
  both('burnout speed', from.speed, totalSpeed(way))
  const { speed } = from
  const [u, w] = [from.state[U]!, from.state[W]!]
  way.ledger.put('burnout angle', Math.atan2(u, Math.abs(w)), l =>
    speed > 0 ? (total(way, U)(l) * Math.abs(w) - u * Math.sign(w) * total(way, W)(l)) / (speed * speed) : 0,
  )
  let ideal = 0
  const idealSlopes = takeNumbers(craft.lanes.length, 0)
  for (const each of schedule.burns.slice(0, schedule.burns.indexOf(burn) + 1)) {
    const logarithm = Math.log(each.full.value / each.empty.value)
    ideal += each.exhaust.value * logarithm
    for (let l = 0; l < idealSlopes.length; l++)
      idealSlopes[l]! +=
        each.exhaust.slopes[l]! * logarithm +
        each.exhaust.value * (each.full.slopes[l]! / each.full.value - each.empty.slopes[l]! / each.empty.value)
  }
  const [drag, back] = [from.state[DRAG_LOSS]!, from.state[BACK_LOSS]!]
  way.ledger.put('drag loss', drag, total(way, DRAG_LOSS))
  way.ledger.put('back pressure loss', back, total(way, BACK_LOSS))
  const [bySpeed, byDrag, byBack] = [totalSpeed(way), total(way, DRAG_LOSS), total(way, BACK_LOSS)]
  way.ledger.put('gravity loss', ideal - speed - drag - back, l => idealSlopes[l]! - bySpeed(l) - byDrag(l) - byBack(l))
}
