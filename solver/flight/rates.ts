import { SEGMENT } from './profile.ts'
import { AIR_FLOOR } from './us76-data.ts'
import type { End, Workspace } from './workspace.ts'

/**
 * Works out all that is asked of an end of a step from its altitude, speed and time: acceleration and jerk, the figures whose peaks
 * are watched with their rates, the loss rates, and what derivatives need. The equations are those of `attempt`.
 */
export function evaluate(w: Workspace, end: End): void {
  const h = end.altitude
  const v = end.speed

  let p = 0
  let dp = 0
  let rho = 0
  let drho = 0
  let slow = 0
  let dslow = 0
  const kind = w.airKind
  if (kind === 'exponential') {
    const fall = w.fall
    const share = Math.exp(-h * fall)
    p = w.pressure0 * share
    rho = w.density0 * share
    dp = -p * fall
    drho = -rho * fall
    slow = w.slowness0
  } else if (kind !== 'none') {
    const air = w.segments
    let scale = w.scale
    let x: number
    let at: number
    if (kind === 'uniform') {
      x = (h - w.base) * scale
      let k = x | 0
      if (k >= w.segmentCount) k = w.segmentCount - 1
      else if (k < 0) k = 0
      x -= k
      at = (w.firstSegment + k) * SEGMENT
    } else {
      at = segmentAt(air, w.byKilometre, h) * SEGMENT
      scale = air[at + 1]!
      x = (h - air[at]!) * scale
    }
    const xx = x * x
    const p1 = air[at + 3]!
    const p2 = air[at + 4]!
    const p3 = air[at + 5]!
    const p4 = air[at + 6]!
    const p5 = air[at + 7]!
    p = air[at + 2]! + x * p1 + xx * (p2 + x * p3 + xx * (p4 + x * p5))
    dp = scale * (p1 + x * (2 * p2) + xx * (3 * p3 + x * (4 * p4) + xx * (5 * p5)))
    const r1 = air[at + 9]!
    const r2 = air[at + 10]!
    const r3 = air[at + 11]!
    const r4 = air[at + 12]!
    const r5 = air[at + 13]!
    rho = air[at + 8]! + x * r1 + xx * (r2 + x * r3 + xx * (r4 + x * r5))
    drho = scale * (r1 + x * (2 * r2) + xx * (3 * r3 + x * (4 * r4) + xx * (5 * r5)))
    const s1 = air[at + 15]!
    const s2 = air[at + 16]!
    const s3 = air[at + 17]!
    const s4 = air[at + 18]!
    const s5 = air[at + 19]!
    slow = air[at + 14]! + x * s1 + xx * (s2 + x * s3 + xx * (s4 + x * s5))
    dslow = scale * (s1 + x * (2 * s2) + xx * (3 * s3 + x * (4 * s4) + xx * (5 * s5)))
  }

  const mach = v * slow
  let cd = 1
  let dcd = 0
  const tangent = end.tangent
  if (w.table) {
    const starts = w.starts
    const pieces = w.pieces
    let piece = w.piece
    while (piece < w.pieceHigh && mach >= starts[piece + 1]!) piece++
    while (piece > w.pieceLow && mach < starts[piece]!) piece--
    w.piece = piece
    const past = mach - starts[piece]!
    const c = 4 * piece
    const c1 = pieces[c + 1]!
    const c2 = pieces[c + 2]!
    const c3 = pieces[c + 3]!
    cd = pieces[c]! + past * (c1 + past * (c2 + past * c3))
    dcd = c1 + past * (2 * c2 + past * (3 * c3))
    tangent.pastKnot = past
    tangent.piece = piece
  }

  const radius = w.radius
  const r = 1 / (radius + h)
  const share = radius * r
  const g = w.gravity * share * share
  const flow = w.flow
  const back = w.back
  const inverse = 1 / (w.mass - flow * end.time)
  const k = w.drag
  const grip = k * cd * rho
  const dynamic = rho * v * v
  const drag = grip * (v * v)
  const dragByAltitude = k * v * (drho * v * cd + dynamic * dcd * dslow)
  const dragBySpeed = k * rho * v * (2 * cd + v * dcd * slow)
  const felt = (w.thrust - back * p) * inverse - grip * inverse * (v * v)
  const a = felt - g
  const dragRate = dragByAltitude * v + dragBySpeed * a
  const lighter = flow * inverse
  const feltRate = felt * lighter - (back * dp * v + dragRate) * inverse

  end.acceleration = a
  end.jerk = feltRate + 2 * g * v * r
  end.felt = felt
  end.feltRate = feltRate
  end.q = 0.5 * dynamic
  end.qRate = v * (0.5 * drho * v * v + rho * a)
  end.mach = mach
  end.machRate = a * slow + v * v * dslow
  end.dragLoss = drag * inverse
  end.dragLossRate = (dragRate + drag * lighter) * inverse
  end.pressureLoss = p * inverse
  end.pressureLossRate = (dp * v + p * lighter) * inverse
  end.density = rho
  end.densitySlope = drho
  end.slowness = slow
  end.slownessSlope = dslow
  end.pressure = p
  end.pressureSlope = dp
  tangent.byAltitude = 2 * g * r - (back * dp + dragByAltitude) * inverse
  tangent.bySpeed = -dragBySpeed * inverse
  if (w.laneCount !== 0) {
    tangent.inverseMass = inverse
    tangent.pressure = p
    tangent.felt = felt
    tangent.flow = dynamic
    tangent.drag = cd * dynamic
    tangent.dragByAltitude = dragByAltitude * inverse
    tangent.pressureByAltitude = dp * inverse
  }
  w.evaluations++
}

/** The segment of the whole profile that holds an altitude [m], the nearest one beyond its ends. */
export function segmentAt(segments: Float64Array, byKilometre: Uint16Array, altitude: number): number {
  let kilometre = ((altitude - AIR_FLOOR) * 1e-3) | 0
  if (kilometre < 0) kilometre = 0
  else if (kilometre >= byKilometre.length) kilometre = byKilometre.length - 1
  let k = byKilometre[kilometre]!
  const last = segments.length / SEGMENT - 1
  while (k < last && altitude >= segments[SEGMENT * (k + 1)]!) k++
  return k
}

/** Second derivative of density with altitude [kg/m5] in the air in use. */
export function densityBend(w: Workspace, altitude: number): number {
  if (w.airKind === 'none') return 0
  if (w.airKind === 'exponential') return w.density0 * Math.exp(-altitude * w.fall) * w.fall * w.fall
  const { segments } = w
  let k: number
  if (w.airKind === 'uniform') {
    const within = Math.trunc((altitude - w.base) * w.scale)
    k = w.firstSegment + Math.max(0, Math.min(w.segmentCount - 1, within))
  } else k = segmentAt(segments, w.byKilometre, altitude)
  const at = k * SEGMENT
  const scale = segments[at + 1]!
  const x = (altitude - segments[at]!) * scale
  const bend =
    2 * segments[at + 10]! + x * (6 * segments[at + 11]! + x * (12 * segments[at + 12]! + x * 20 * segments[at + 13]!))
  return bend * scale * scale
}
