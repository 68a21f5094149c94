import type { Pad } from './pad.ts'
import type { Plan } from './plan.ts'
import { openLanes, type Workspace } from './workspace.ts'

/** Share of the ideal speed gain that is added to speed where errors are taken relative to it. */
export const ERROR_SPEED = 0.03
/** Tolerance above which there are no restarts at layer edges and drag knots. */
export const LOOSE = 1e-5

/** Fills the workspace with the first burn and its lanes at release, for so many phases; `ideal`: the speed gain [m/s] that errors are measured by. */
export function prepare(
  w: Workspace,
  { body, launchAltitude }: Pick<Plan, 'body' | 'launchAltitude'>,
  pad: Pad,
  changes: readonly Pad[],
  phases: number,
  tolerance: number,
  ideal: number,
): void {
  w.radius = body.radius
  w.gravity = body.gravity
  w.thrust = pad.thrust
  w.back = pad.back
  w.mass = pad.releaseMass
  w.flow = pad.flow
  w.burning = true
  w.losing = true
  w.phase = 0
  w.until = pad.burn
  w.speedScale = ERROR_SPEED * ideal
  w.altitudeScale = w.speedScale ** 2 / (2 * w.gravity)
  w.tolerance = tolerance
  w.loose = tolerance > LOOSE
  w.dragLoss = 0
  w.pressureLoss = 0
  w.evaluations = 0
  openLanes(w, changes.length, phases)
  changes.forEach((change, l) => {
    const lane = w.lanes[l]!
    lane.altitude = change.launchAltitude
    lane.speed = 0
    lane.dragLoss = 0
    lane.pressureLoss = 0
    lane.event = 0
    lane.mass = change.releaseMass
    lane.flow = change.flow
    lane.thrust = change.thrust
    lane.back = change.back
  })
  const end = w.ends[0]
  end.altitude = launchAltitude
  end.speed = 0
  end.time = 0
}
