import { SEGMENT } from './profile.ts'
import { AIR_FLOOR } from './us76-data.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/**
 * Works out all that is asked of an end of a step from its altitude, speed and time: acceleration and jerk, the figures whose peaks
 * are watched with their rates, the loss rates, and what derivatives need. The equations are those of `attempt`.
 */
export function evaluate(w: Workspace, end: Float64Array): void {
  const S = w.numbers
  const I = w.flags
  const h = end[W.ALTITUDE]!
  const v = end[W.SPEED]!
  const t = end[W.TIME]!
  const down = v < 0
  const size = down ? -v : v

  let p = 0
  let dp = 0
  let rho = 0
  let drho = 0
  let slow = 0
  let dslow = 0
  const kind = I[W.AIR]!
  if (kind === W.EXPONENTIAL) {
    const share = Math.exp(-h * S[W.FALL]!)
    p = S[W.PRESSURE_0]! * share
    rho = S[W.DENSITY_0]! * share
    dp = -p * S[W.FALL]!
    drho = -rho * S[W.FALL]!
    slow = S[W.SLOWNESS_0]!
  } else if (kind !== W.NO_AIR) {
    const air = w.air
    let x: number
    let at: number
    let scale: number
    if (kind === W.UNIFORM) {
      scale = S[W.SCALE]!
      x = (h - S[W.BASE]!) * scale
      let k = x | 0
      const count = I[W.COUNT]!
      if (k >= count) k = count - 1
      else if (k < 0) k = 0
      x -= k
      at = (I[W.FIRST]! + k) * SEGMENT
    } else {
      at = segmentAt(w, h) * SEGMENT
      scale = air[at + 1]!
      x = (h - air[at]!) * scale
    }
    const xx = x * x
    const p2 = air[at + 4]!
    const p3 = air[at + 5]!
    const p4 = air[at + 6]!
    const p5 = air[at + 7]!
    p = air[at + 2]! + x * air[at + 3]! + xx * (p2 + x * p3 + xx * (p4 + x * p5))
    dp = scale * (air[at + 3]! + x * (2 * p2) + xx * (3 * p3 + x * (4 * p4) + xx * (5 * p5)))
    const r2 = air[at + 10]!
    const r3 = air[at + 11]!
    const r4 = air[at + 12]!
    const r5 = air[at + 13]!
    rho = air[at + 8]! + x * air[at + 9]! + xx * (r2 + x * r3 + xx * (r4 + x * r5))
    drho = scale * (air[at + 9]! + x * (2 * r2) + xx * (3 * r3 + x * (4 * r4) + xx * (5 * r5)))
    const s2 = air[at + 16]!
    const s3 = air[at + 17]!
    const s4 = air[at + 18]!
    const s5 = air[at + 19]!
    slow = air[at + 14]! + x * air[at + 15]! + xx * (s2 + x * s3 + xx * (s4 + x * s5))
    dslow = scale * (air[at + 15]! + x * (2 * s2) + xx * (3 * s3 + x * (4 * s4) + xx * (5 * s5)))
  }

  const mach = size * slow
  let cd = 1
  let dcd = 0
  let past = 0
  if (I[W.TABLE] === 1) {
    const starts = w.starts
    let piece = I[W.PIECE]!
    const low = I[W.PIECE_LOW]!
    const high = I[W.PIECE_HIGH]!
    while (piece < high && mach >= starts[piece + 1]!) piece++
    while (piece > low && mach < starts[piece]!) piece--
    I[W.PIECE] = piece
    past = mach - starts[piece]!
    const c = 4 * piece
    const c2 = w.drag[c + 2]!
    const c3 = w.drag[c + 3]!
    cd = w.drag[c]! + past * (w.drag[c + 1]! + past * (c2 + past * c3))
    dcd = w.drag[c + 1]! + past * (2 * c2 + past * (3 * c3))
    end[W.RECORD + W.ON_PIECE] = piece
  }

  const r = 1 / (S[W.RADIUS]! + h)
  const share = S[W.RADIUS]! * r
  const g = S[W.GRAVITY]! * share * share
  const flow = S[W.FLOW]!
  const im = 1 / (S[W.MASS]! - flow * t)
  const k = S[W.DRAG]!
  const form = rho * v * size
  const drag = k * cd * form
  const dragByAltitude = k * (drho * v * size * cd + form * dcd * size * dslow)
  const dragBySpeed = k * rho * size * (2 * cd + size * dcd * slow)
  const felt = (S[W.THRUST]! - S[W.BACK]! * p - drag) * im
  const a = felt - g
  const dragRate = dragByAltitude * v + dragBySpeed * a
  const lighter = flow * im
  const feltRate = felt * lighter - (S[W.BACK]! * dp * v + dragRate) * im

  end[W.ACCELERATION] = a
  end[W.JERK] = feltRate + 2 * g * v * r
  end[W.FELT] = felt
  end[W.FELT_RATE] = feltRate
  end[W.Q] = 0.5 * rho * v * v
  end[W.Q_RATE] = v * (0.5 * drho * v * v + rho * a)
  end[W.MACH] = mach
  end[W.MACH_RATE] = (down ? -a : a) * slow + size * v * dslow
  end[W.DRAG_RATE] = drag * im
  end[W.DRAG_RATE_RATE] = (dragRate + drag * lighter) * im
  end[W.PRESSURE_RATE] = p * im
  end[W.PRESSURE_RATE_RATE] = (dp * v + p * lighter) * im
  end[W.DENSITY] = rho
  end[W.DENSITY_SLOPE] = drho
  end[W.SLOWNESS] = slow
  end[W.SLOWNESS_SLOPE] = dslow
  end[W.PRESSURE_SLOPE] = dp
  end[W.RECORD + W.BY_ALTITUDE] = 2 * g * r - (S[W.BACK]! * dp + dragByAltitude) * im
  end[W.RECORD + W.BY_SPEED] = -dragBySpeed * im
  end[W.RECORD + W.INVERSE_MASS] = im
  end[W.RECORD + W.PRESSURE] = p
  end[W.RECORD + W.DRAG_FORM] = cd * form
  end[W.RECORD + W.FELT_HERE] = felt
  end[W.RECORD + W.DRAG_BY_ALTITUDE] = dragByAltitude * im
  end[W.RECORD + W.PRESSURE_BY_ALTITUDE] = dp * im
  end[W.RECORD + W.FLOW_FORM] = form
  end[W.RECORD + W.PAST_KNOT] = past
  I[W.EVALUATIONS]!++
}

/** The segment of the whole profile that holds an altitude [m], the nearest one beyond its ends. */
export function segmentAt(w: Workspace, altitude: number): number {
  const { air, byKilometre } = w
  let kilometre = ((altitude - AIR_FLOOR) * 1e-3) | 0
  if (kilometre < 0) kilometre = 0
  else if (kilometre >= byKilometre.length) kilometre = byKilometre.length - 1
  let k = byKilometre[kilometre]!
  const last = air.length / SEGMENT - 1
  while (k < last && altitude >= air[SEGMENT * (k + 1)]!) k++
  return k
}

/** Second derivative of density with altitude [kg/m5] in the air in use. */
export function densityBend(w: Workspace, altitude: number): number {
  const S = w.numbers
  const I = w.flags
  if (I[W.AIR] === W.NO_AIR) return 0
  if (I[W.AIR] === W.EXPONENTIAL) return S[W.DENSITY_0]! * Math.exp(-altitude * S[W.FALL]!) * S[W.FALL]! * S[W.FALL]!
  const { air } = w
  let k: number
  if (I[W.AIR] === W.UNIFORM) {
    const within = ((altitude - S[W.BASE]!) * S[W.SCALE]!) | 0
    k = I[W.FIRST]! + Math.max(0, Math.min(I[W.COUNT]! - 1, within))
  } else k = segmentAt(w, altitude)
  const at = k * SEGMENT
  const scale = air[at + 1]!
  const x = (altitude - air[at]!) * scale
  const bend = 2 * air[at + 10]! + x * (6 * air[at + 11]! + x * (12 * air[at + 12]! + x * 20 * air[at + 13]!))
  return bend * scale * scale
}
