import * as T from './verner.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/**
 * Derivatives, carried along in the flight's own steps: the equations of `attempt`, differentiated, with the same tableau and the
 * stages it recorded. δv̇ = a_h δh + a_v δv + a_θ; a lever enters only through mass, flow, thrust, back pressure and drag.
 */
export function moveLanes(w: Workspace, from: Float64Array): void {
  const S = w.numbers
  const L = w.lanes
  const G = w.tangents
  const J = w.laneStages
  const lanes = w.flags[W.LANES]!
  const table = w.flags[W.TABLE] === 1
  const burning = w.flags[W.BURNING] === 1
  const pieces = w.flags[W.PIECES]!
  const dt = S[W.STEP]!
  const t0 = from[W.TIME]!
  const k = S[W.DRAG]!
  for (let i = 0; i < W.TANGENT; i++) G[i] = from[W.RECORD + i]!

  for (let lane = 0; lane < lanes; lane++) {
    const at = lane * W.LANE
    const h0 = L[at + W.D_ALTITUDE]!
    const v0 = L[at + W.D_SPEED]!
    const dMass = L[at + W.D_MASS]!
    const dFlow = L[at + W.D_FLOW]!
    const dThrust = L[at + W.D_THRUST]!
    const dBack = L[at + W.D_BACK]!
    const dDrag = L[at + W.D_DRAG]!
    let dragLoss = 0
    let pressureLoss = 0
    for (let i = 0; i < 8; i++) {
      let sh = 0
      let sv = 0
      let c = 0
      let b = 0
      switch (i) {
        case 0:
          b = T.B1
          break
        case 1:
          c = T.C2
          sh = T.A21 * J[0]!
          sv = T.A21 * J[1]!
          break
        case 2:
          c = T.C3
          sh = T.A31 * J[0]! + T.A32 * J[2]!
          sv = T.A31 * J[1]! + T.A32 * J[3]!
          break
        case 3:
          c = T.C4
          b = T.B4
          sh = T.A41 * J[0]! + T.A43 * J[4]!
          sv = T.A41 * J[1]! + T.A43 * J[5]!
          break
        case 4:
          c = T.C5
          b = T.B5
          sh = T.A51 * J[0]! + T.A53 * J[4]! + T.A54 * J[6]!
          sv = T.A51 * J[1]! + T.A53 * J[5]! + T.A54 * J[7]!
          break
        case 5:
          c = T.C6
          b = T.B6
          sh = T.A61 * J[0]! + T.A63 * J[4]! + T.A64 * J[6]! + T.A65 * J[8]!
          sv = T.A61 * J[1]! + T.A63 * J[5]! + T.A64 * J[7]! + T.A65 * J[9]!
          break
        case 6:
          c = T.C7
          b = T.B7
          sh = T.A71 * J[0]! + T.A73 * J[4]! + T.A74 * J[6]! + T.A75 * J[8]! + T.A76 * J[10]!
          sv = T.A71 * J[1]! + T.A73 * J[5]! + T.A74 * J[7]! + T.A75 * J[9]! + T.A76 * J[11]!
          break
        default:
          c = 1
          b = T.B8
          sh = T.A81 * J[0]! + T.A83 * J[4]! + T.A84 * J[6]! + T.A85 * J[8]! + T.A86 * J[10]! + T.A87 * J[12]!
          sv = T.A81 * J[1]! + T.A83 * J[5]! + T.A84 * J[7]! + T.A85 * J[9]! + T.A86 * J[11]! + T.A87 * J[13]!
      }
      const h = h0 + dt * sh
      const v = v0 + dt * sv
      const g = W.TANGENT * i
      const im = G[g + W.INVERSE_MASS]!
      let drag = dDrag * G[g + W.DRAG_FORM]!
      if (table) {
        const d = 4 * (lane * pieces + G[g + W.ON_PIECE]!)
        const past = G[g + W.PAST_KNOT]!
        const D = w.laneDrag
        drag += k * G[g + W.FLOW_FORM]! * (D[d]! + past * (D[d + 1]! + past * (D[d + 2]! + past * D[d + 3]!)))
      }
      const m = dMass - (t0 + c * dt) * dFlow
      const bySpeed = G[g + W.BY_SPEED]!
      const p = G[g + W.PRESSURE]!
      J[2 * i] = v
      J[2 * i + 1] =
        G[g + W.BY_ALTITUDE]! * h + bySpeed * v + im * (dThrust - p * dBack - drag - G[g + W.FELT_HERE]! * m)
      if (burning) {
        dragLoss += b * (G[g + W.DRAG_BY_ALTITUDE]! * h - bySpeed * v + im * (drag - k * G[g + W.DRAG_FORM]! * im * m))
        pressureLoss += b * (G[g + W.PRESSURE_BY_ALTITUDE]! * h - p * im * im * m)
      }
    }
    L[at + W.D_ALTITUDE_0] = h0
    L[at + W.D_SPEED_0] = v0
    L[at + W.D_ACCELERATION_0] = J[1]!
    L[at + W.D_ALTITUDE] =
      h0 + dt * (T.B1 * J[0]! + T.B4 * J[6]! + T.B5 * J[8]! + T.B6 * J[10]! + T.B7 * J[12]! + T.B8 * J[14]!)
    L[at + W.D_SPEED] =
      v0 + dt * (T.B1 * J[1]! + T.B4 * J[7]! + T.B5 * J[9]! + T.B6 * J[11]! + T.B7 * J[13]! + T.B8 * J[15]!)
    L[at + W.D_DRAG_LOSS]! += dt * dragLoss
    L[at + W.D_PRESSURE_LOSS]! += dt * pressureLoss
  }
}

/** Change of drag at fixed altitude and speed, at an end of a step. */
function dragChange(w: Workspace, lane: number, end: Float64Array): number {
  const fixed = w.lanes[lane * W.LANE + W.D_DRAG]! * end[W.RECORD + W.DRAG_FORM]!
  if (w.flags[W.TABLE] === 0) return fixed
  const D = w.laneDrag
  const d = 4 * (lane * w.flags[W.PIECES]! + end[W.RECORD + W.ON_PIECE]!)
  const past = end[W.RECORD + W.PAST_KNOT]!
  const change = D[d]! + past * (D[d + 1]! + past * (D[d + 2]! + past * D[d + 3]!))
  return fixed + w.numbers[W.DRAG]! * end[W.RECORD + W.FLOW_FORM]! * change
}

function massChange(w: Workspace, lane: number, end: Float64Array): number {
  const at = lane * W.LANE
  return w.lanes[at + W.D_MASS]! - end[W.TIME]! * w.lanes[at + W.D_FLOW]!
}

/** a_θ: change of acceleration at fixed altitude, speed and time, at an end of a step; of the felt one likewise. */
export function ownChange(w: Workspace, lane: number, end: Float64Array): number {
  const at = lane * W.LANE
  const push = w.lanes[at + W.D_THRUST]! - end[W.RECORD + W.PRESSURE]! * w.lanes[at + W.D_BACK]!
  const mass = end[W.FELT]! * massChange(w, lane, end)
  return end[W.RECORD + W.INVERSE_MASS]! * (push - dragChange(w, lane, end) - mass)
}

/** Change of acceleration at fixed time where altitude and speed change by h and v. */
export function accelerationChange(w: Workspace, lane: number, end: Float64Array, h: number, v: number): number {
  return end[W.RECORD + W.BY_ALTITUDE]! * h + end[W.RECORD + W.BY_SPEED]! * v + ownChange(w, lane, end)
}

export function dragRateChange(w: Workspace, lane: number, end: Float64Array, h: number, v: number): number {
  const moved = end[W.RECORD + W.DRAG_BY_ALTITUDE]! * h - end[W.RECORD + W.BY_SPEED]! * v
  const mass = end[W.DRAG_RATE]! * massChange(w, lane, end)
  return moved + end[W.RECORD + W.INVERSE_MASS]! * (dragChange(w, lane, end) - mass)
}

export function pressureRateChange(w: Workspace, lane: number, end: Float64Array, h: number): number {
  const mass = end[W.PRESSURE_RATE]! * massChange(w, lane, end)
  return end[W.RECORD + W.PRESSURE_BY_ALTITUDE]! * h - end[W.RECORD + W.INVERSE_MASS]! * mass
}

/**
 * Moves the lanes from the end of the step just taken to place e near it (0 its end): speed by the cubic through its values and
 * rates at both ends, altitude by its integral, losses by straight rates.
 */
export function shiftLanes(w: Workspace, from: Float64Array, to: Float64Array, e: number): void {
  const L = w.lanes
  const dt = w.numbers[W.STEP]!
  for (let lane = 0; lane < w.flags[W.LANES]!; lane++) {
    const at = lane * W.LANE
    if (w.flags[W.BURNING] === 1) {
      const h0 = L[at + W.D_ALTITUDE_0]!
      const h1 = L[at + W.D_ALTITUDE]!
      const drag1 = dragRateChange(w, lane, to, h1, L[at + W.D_SPEED]!)
      const drag0 = dragRateChange(w, lane, from, h0, L[at + W.D_SPEED_0]!)
      const pressure1 = pressureRateChange(w, lane, to, h1)
      const pressure0 = pressureRateChange(w, lane, from, h0)
      L[at + W.D_DRAG_LOSS]! += dt * e * (drag1 + 0.5 * e * (drag1 - drag0))
      L[at + W.D_PRESSURE_LOSS]! += dt * e * (pressure1 + 0.5 * e * (pressure1 - pressure0))
    }
    const h1 = L[at + W.D_ALTITUDE]!
    const v1 = L[at + W.D_SPEED]!
    const b = accelerationChange(w, lane, to, h1, v1) * dt
    const fall = L[at + W.D_SPEED_0]! - v1
    const c3 = L[at + W.D_ACCELERATION_0]! * dt + b + 2 * fall
    const c2 = c3 + fall + b
    L[at + W.D_SPEED] = v1 + e * (b + e * (c2 + e * c3))
    L[at + W.D_ALTITUDE] = h1 + dt * e * (v1 + e * (b / 2 + e * (c2 / 3 + (e * c3) / 4)))
  }
}
