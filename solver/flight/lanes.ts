import type { End, Lane, Workspace } from './workspace.ts'

/** Change of drag at fixed altitude and speed, at an end of a step; lane number l. */
function dragChange(w: Workspace, l: number, { tangent }: End): number {
  const fixed = w.lanes[l]!.drag * tangent.drag
  if (!w.table) return fixed
  const D = w.lanePieces
  const d = 4 * (l * w.pieceCount + tangent.piece)
  const past = tangent.pastKnot
  const change = D[d]! + past * (D[d + 1]! + past * (D[d + 2]! + past * D[d + 3]!))
  return fixed + w.drag * tangent.flow * change
}

function massChange(lane: Lane, end: End): number {
  return lane.mass - end.time * lane.flow
}

/** a_θ: change of acceleration at fixed altitude, speed and time, at an end of a step; the felt one's is the same. */
export function ownChange(w: Workspace, l: number, end: End): number {
  const lane = w.lanes[l]!
  const push = lane.thrust - end.pressure * lane.back
  return end.tangent.inverseMass * (push - dragChange(w, l, end) - end.felt * massChange(lane, end))
}

/** Change of acceleration at fixed time where altitude and speed change by h and v. */
export function accelerationChange(w: Workspace, l: number, end: End, h: number, v: number): number {
  return end.tangent.byAltitude * h + end.tangent.bySpeed * v + ownChange(w, l, end)
}

function dragLossChange(w: Workspace, l: number, end: End, h: number, v: number): number {
  const { tangent } = end
  const own = dragChange(w, l, end) - end.dragLoss * massChange(w.lanes[l]!, end)
  return tangent.dragByAltitude * h - tangent.bySpeed * v + tangent.inverseMass * own
}

function pressureLossChange(w: Workspace, l: number, end: End, h: number): number {
  const own = end.pressureLoss * massChange(w.lanes[l]!, end)
  return end.tangent.pressureByAltitude * h - end.tangent.inverseMass * own
}

/**
 * Moves the lanes from the end of the step just taken to place e near it (0 its end): speed by the cubic through its values and
 * rates at both ends, altitude by its integral, losses by straight rates.
 */
export function shiftLanes(w: Workspace, from: End, to: End, e: number): void {
  const dt = w.step
  for (let l = 0; l < w.laneCount; l++) {
    const lane = w.lanes[l]!
    const { altitude: h1, speed: v1, altitude0: h0, speed0: v0 } = lane
    if (w.losing) {
      const drag1 = dragLossChange(w, l, to, h1, v1)
      const drag0 = dragLossChange(w, l, from, h0, v0)
      const pressure1 = pressureLossChange(w, l, to, h1)
      const pressure0 = pressureLossChange(w, l, from, h0)
      lane.dragLoss += dt * e * (drag1 + 0.5 * e * (drag1 - drag0))
      lane.pressureLoss += dt * e * (pressure1 + 0.5 * e * (pressure1 - pressure0))
    }
    const b = accelerationChange(w, l, to, h1, v1) * dt
    const fall = v0 - v1
    const c3 = lane.acceleration0 * dt + b + 2 * fall
    const c2 = c3 + fall + b
    lane.speed = v1 + e * (b + e * (c2 + e * c3))
    lane.altitude = h1 + dt * e * (v1 + e * (b / 2 + e * (c2 / 3 + (e * c3) / 4)))
  }
}

/** What jumps where forces change. */
export type Rates = Pick<End, 'acceleration' | 'dragLoss' | 'pressureLoss'>

/** At fixed time a later event leaves more of the old rates and less of the new ones. */
export function jumpLanes(w: Workspace, before: Rates, after: Rates): void {
  for (let l = 0; l < w.laneCount; l++) {
    const lane = w.lanes[l]!
    lane.speed += (before.acceleration - after.acceleration) * lane.event
    lane.dragLoss += (before.dragLoss - after.dragLoss) * lane.event
    lane.pressureLoss += (before.pressureLoss - after.pressureLoss) * lane.event
  }
}
