import { SEGMENT } from './profile.ts'
import { segmentAt } from './rates.ts'
import * as T from './verner.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/**
 * One trial step from an end of known rates: altitude, speed and time at the other end, the step's losses, and the error estimate
 * but for the last stage, which stands at the new end. ḣ = v, v̇ = (F − D)/m − g with F = thrust − back pressure,
 * D = ½ ρ A c v|v|, m = m0 − flow t, g by inverse square.
 */
export function attempt(w: Workspace, from: Float64Array, to: Float64Array): void {
  const S = w.numbers
  const I = w.flags
  const K = w.stages
  const air = w.air
  const dt = S[W.STEP]!
  const h0 = from[W.ALTITUDE]!
  const v0 = from[W.SPEED]!
  const t0 = from[W.TIME]!
  const kind = I[W.AIR]!
  const table = I[W.TABLE] === 1
  const deriving = I[W.LANES] !== 0
  const base = S[W.BASE]!
  const uniformScale = S[W.SCALE]!
  const first = I[W.FIRST]!
  const lastSegment = I[W.COUNT]! - 1
  const radius = S[W.RADIUS]!
  const gravity = S[W.GRAVITY]!
  const thrust = S[W.THRUST]!
  const back = S[W.BACK]!
  const k = S[W.DRAG]!
  const mass = S[W.MASS]!
  const flow = S[W.FLOW]!
  const starts = w.starts
  const pieces = w.drag
  const low = I[W.PIECE_LOW]!
  const high = I[W.PIECE_HIGH]!
  let piece = I[W.PIECE]!
  K[0] = v0
  K[1] = from[W.ACCELERATION]!
  K[2] = from[W.DRAG_RATE]!
  K[3] = from[W.PRESSURE_RATE]!

  for (let i = 1; i < 8; i++) {
    let sh = 0
    let sv = 0
    let c = 1
    switch (i) {
      case 1:
        c = T.C2
        sh = T.A21 * K[0]!
        sv = T.A21 * K[1]!
        break
      case 2:
        c = T.C3
        sh = T.A31 * K[0]! + T.A32 * K[4]!
        sv = T.A31 * K[1]! + T.A32 * K[5]!
        break
      case 3:
        c = T.C4
        sh = T.A41 * K[0]! + T.A43 * K[8]!
        sv = T.A41 * K[1]! + T.A43 * K[9]!
        break
      case 4:
        c = T.C5
        sh = T.A51 * K[0]! + T.A53 * K[8]! + T.A54 * K[12]!
        sv = T.A51 * K[1]! + T.A53 * K[9]! + T.A54 * K[13]!
        break
      case 5:
        c = T.C6
        sh = T.A61 * K[0]! + T.A63 * K[8]! + T.A64 * K[12]! + T.A65 * K[16]!
        sv = T.A61 * K[1]! + T.A63 * K[9]! + T.A64 * K[13]! + T.A65 * K[17]!
        break
      case 6:
        c = T.C7
        sh = T.A71 * K[0]! + T.A73 * K[8]! + T.A74 * K[12]! + T.A75 * K[16]! + T.A76 * K[20]!
        sv = T.A71 * K[1]! + T.A73 * K[9]! + T.A74 * K[13]! + T.A75 * K[17]! + T.A76 * K[21]!
        break
      default:
        sh = T.A81 * K[0]! + T.A83 * K[8]! + T.A84 * K[12]! + T.A85 * K[16]! + T.A86 * K[20]! + T.A87 * K[24]!
        sv = T.A81 * K[1]! + T.A83 * K[9]! + T.A84 * K[13]! + T.A85 * K[17]! + T.A86 * K[21]! + T.A87 * K[25]!
    }
    const h = h0 + dt * sh
    const v = v0 + dt * sv
    const size = v < 0 ? -v : v

    let p = 0
    let dp = 0
    let rho = 0
    let drho = 0
    let slow = 0
    let dslow = 0
    if (kind === W.EXPONENTIAL) {
      const fall = S[W.FALL]!
      const share = Math.exp(-h * fall)
      p = S[W.PRESSURE_0]! * share
      rho = S[W.DENSITY_0]! * share
      dp = -p * fall
      drho = -rho * fall
      slow = S[W.SLOWNESS_0]!
    } else if (kind !== W.NO_AIR) {
      let x: number
      let at: number
      let scale = uniformScale
      if (kind === W.UNIFORM) {
        x = (h - base) * scale
        let segment = x | 0
        if (segment > lastSegment) segment = lastSegment
        else if (segment < 0) segment = 0
        x -= segment
        at = (first + segment) * SEGMENT
      } else {
        at = segmentAt(w, h) * SEGMENT
        scale = air[at + 1]!
        x = (h - air[at]!) * scale
      }
      const xx = x * x
      p =
        air[at + 2]! +
        x * air[at + 3]! +
        xx * (air[at + 4]! + x * air[at + 5]! + xx * (air[at + 6]! + x * air[at + 7]!))
      rho =
        air[at + 8]! +
        x * air[at + 9]! +
        xx * (air[at + 10]! + x * air[at + 11]! + xx * (air[at + 12]! + x * air[at + 13]!))
      if (table) {
        const s2 = air[at + 16]! + x * air[at + 17]! + xx * (air[at + 18]! + x * air[at + 19]!)
        slow = air[at + 14]! + x * air[at + 15]! + xx * s2
      }
      if (deriving) {
        dp =
          scale *
          (air[at + 3]! +
            x * (2 * air[at + 4]!) +
            xx * (3 * air[at + 5]! + x * (4 * air[at + 6]!) + xx * (5 * air[at + 7]!)))
        drho =
          scale *
          (air[at + 9]! +
            x * (2 * air[at + 10]!) +
            xx * (3 * air[at + 11]! + x * (4 * air[at + 12]!) + xx * (5 * air[at + 13]!)))
        if (table)
          dslow =
            scale *
            (air[at + 15]! +
              x * (2 * air[at + 16]!) +
              xx * (3 * air[at + 17]! + x * (4 * air[at + 18]!) + xx * (5 * air[at + 19]!)))
      }
    }

    let cd = 1
    let dcd = 0
    let past = 0
    if (table) {
      const mach = size * slow
      while (piece < high && mach >= starts[piece + 1]!) piece++
      while (piece > low && mach < starts[piece]!) piece--
      past = mach - starts[piece]!
      const at = 4 * piece
      cd = pieces[at]! + past * (pieces[at + 1]! + past * (pieces[at + 2]! + past * pieces[at + 3]!))
      dcd = pieces[at + 1]! + past * (2 * pieces[at + 2]! + past * (3 * pieces[at + 3]!))
    }

    const r = 1 / (radius + h)
    const g = gravity * (radius * r) * (radius * r)
    const im = 1 / (mass - flow * (t0 + c * dt))
    const form = rho * v * size
    const drag = k * cd * form
    const felt = (thrust - back * p - drag) * im
    const place = 4 * i
    K[place] = v
    K[place + 1] = felt - g
    K[place + 2] = drag * im
    K[place + 3] = p * im
    if (deriving) {
      const G = w.tangents
      const at = W.TANGENT * i
      const dragByAltitude = k * (drho * v * size * cd + form * dcd * size * dslow)
      G[at + W.BY_ALTITUDE] = 2 * g * r - (back * dp + dragByAltitude) * im
      G[at + W.BY_SPEED] = -(k * rho * size * (2 * cd + size * dcd * slow)) * im
      G[at + W.INVERSE_MASS] = im
      G[at + W.PRESSURE] = p
      G[at + W.DRAG_FORM] = cd * form
      G[at + W.FELT_HERE] = felt
      G[at + W.DRAG_BY_ALTITUDE] = dragByAltitude * im
      G[at + W.PRESSURE_BY_ALTITUDE] = dp * im
      G[at + W.FLOW_FORM] = form
      G[at + W.PAST_KNOT] = past
      G[at + W.ON_PIECE] = piece
    }
  }

  I[W.PIECE] = piece
  I[W.EVALUATIONS] = I[W.EVALUATIONS]! + 7
  to[W.ALTITUDE] =
    h0 + dt * (T.B1 * K[0]! + T.B4 * K[12]! + T.B5 * K[16]! + T.B6 * K[20]! + T.B7 * K[24]! + T.B8 * K[28]!)
  to[W.SPEED] = v0 + dt * (T.B1 * K[1]! + T.B4 * K[13]! + T.B5 * K[17]! + T.B6 * K[21]! + T.B7 * K[25]! + T.B8 * K[29]!)
  to[W.TIME] = t0 + dt
  S[W.STEP_DRAG_LOSS] =
    dt * (T.B1 * K[2]! + T.B4 * K[14]! + T.B5 * K[18]! + T.B6 * K[22]! + T.B7 * K[26]! + T.B8 * K[30]!)
  S[W.STEP_PRESSURE_LOSS] =
    dt * (T.B1 * K[3]! + T.B4 * K[15]! + T.B5 * K[19]! + T.B6 * K[23]! + T.B7 * K[27]! + T.B8 * K[31]!)
  S[W.ERROR_ALTITUDE] = T.E1 * K[0]! + T.E4 * K[12]! + T.E5 * K[16]! + T.E6 * K[20]! + T.E7 * K[24]! + T.E8 * K[28]!
  S[W.ERROR_SPEED] = T.E1 * K[1]! + T.E4 * K[13]! + T.E5 * K[17]! + T.E6 * K[21]! + T.E7 * K[25]! + T.E8 * K[29]!
}

/** Error of the trial step in tolerances: largest of altitude's and speed's. Both ends must be evaluated. */
export function judge(w: Workspace, from: Float64Array, to: Float64Array): void {
  const S = w.numbers
  const dt = S[W.STEP]!
  const scale = S[W.SPEED_SCALE]!
  const h = Math.max(Math.abs(from[W.ALTITUDE]!), Math.abs(to[W.ALTITUDE]!)) + (scale * scale) / (2 * S[W.GRAVITY]!)
  const v = Math.max(Math.abs(from[W.SPEED]!), Math.abs(to[W.SPEED]!)) + scale
  const errorAltitude = Math.abs(dt * (S[W.ERROR_ALTITUDE]! + T.E9 * to[W.SPEED]!)) / h
  const errorSpeed = Math.abs(dt * (S[W.ERROR_SPEED]! + T.E9 * to[W.ACCELERATION]!)) / v
  S[W.ERROR] = Math.max(errorAltitude, errorSpeed) / S[W.TOLERANCE]!
}
