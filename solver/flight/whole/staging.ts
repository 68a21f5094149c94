import { dragPieces } from './vehicle.ts'
import type { Way } from './way.ts'

/** The stage that is lowest from now on sets the drag. */
export function carry({ craft, plan, directions, loose }: Way, stage: number): void {
  craft.area = plan.stages[stage]!.referenceArea
  craft.dragPieces = dragPieces(plan, directions, stage, loose)
  craft.pieceLow = 0
  craft.pieceHigh = craft.dragPieces.starts.length - 1
  craft.lanes.forEach((lane, l) => {
    lane.area = directions[l]!.stages[stage]!.referenceArea
  })
}

/** A stage's motor burns from now on. */
export function ignite({ craft, schedule, holdSlopes }: Way, index: number): void {
  const burn = schedule.burns[index]!
  craft.burning = true
  craft.losing = true
  craft.vacuum = burn.vacuum.value
  craft.cap = burn.cap.value
  craft.beta = burn.beta.value
  craft.exhaust = burn.exhaust.value
  craft.shape = burn.shape
  craft.shapePiece = 0
  craft.ignition = burn.ignition.value - craft.hold
  craft.clipped = false
  craft.lanes.forEach((lane, l) => {
    lane.vacuum = burn.vacuum.slopes[l]!
    lane.cap = burn.cap.slopes[l]!
    lane.beta = burn.beta.slopes[l]!
    lane.exhaust = burn.exhaust.slopes[l]!
    lane.burnClock = holdSlopes[l]! - burn.ignition.slopes[l]!
  })
}
