import { SEGMENT } from './profile.ts'
import { segmentAt } from './rates.ts'
import type { End, Workspace } from './workspace.ts'

// Verner's 6(5) pair of nine stages, first same as last: J. H. Verner, Numerically optimal Runge–Kutta pairs with
// interpolants, Numerical Algorithms 53 (2010). Its coefficients near 200 magnify rounding in row sums to 7e-12, so the
// nodes are given apart. The numbers are named one by one, in the module that steps by them, so that they are constants
// of its compiled code; `VERNER` gathers them for whoever wants to look.
const C2 = 0.06
const C3 = 1439 / 15000
const C4 = 0.1439
const C5 = 0.4973
const C6 = 0.9725
const C7 = 0.9995

const A21 = 0.06
const A31 = 0.019239962962962962
const A32 = 0.07669337037037037
const A41 = 0.035975
const A43 = 0.107925
const A51 = 1.3186834152331484
const A53 = -5.042058063628562
const A54 = 4.220674648395414
const A61 = -41.87259166432751
const A63 = 159.43256216313748
const A64 = -122.11921356501004
const A65 = 5.531743066200053
const A71 = -54.430156935316504
const A73 = 207.06725136501848
const A74 = -158.61081378459
const A75 = 6.991816585950242
const A76 = -0.01859723106220323
const A81 = -54.66374178728198
const A83 = 207.95280625538936
const A84 = -159.2889574744995
const A85 = 7.018743740796944
const A86 = -0.018338785905045722
const A87 = -0.0005119484997882099

/** Sixth-order weights, also the last row: the ninth stage stands at the end of the step. */
const B1 = 0.03438957868357036
const B4 = 0.25826245556335037
const B5 = 0.4209371189673537
const B6 = 4.40539646966931
const B7 = -176.48311902429865
const B8 = 172.36413340141507

/** Sixth-order weights less the fifth-order ones. */
const E1 = 0.008623404282200854
const E4 = -0.019434029953152708
const E5 = 0.028450072588037983
const E6 = -2.1097110610652914
const E7 = 103.45854289996397
const E8 = -101.39980461914912
const E9 = 1 / 30

/** The pair as rows of a tableau: nodes, matrix, sixth-order weights (also the ninth row), and those less the fifth-order ones. */
export const VERNER = {
  nodes: [0, C2, C3, C4, C5, C6, C7, 1, 1],
  matrix: [
    [],
    [A21],
    [A31, A32],
    [A41, 0, A43],
    [A51, 0, A53, A54],
    [A61, 0, A63, A64, A65],
    [A71, 0, A73, A74, A75, A76],
    [A81, 0, A83, A84, A85, A86, A87],
    [B1, 0, 0, B4, B5, B6, B7, B8],
  ],
  weights: [B1, 0, 0, B4, B5, B6, B7, B8, 0],
  errors: [E1, 0, 0, E4, E5, E6, E7, E8, E9],
} as const

/**
 * One trial step from an end of known rates: altitude, speed and time at the other end, the step's losses, and the error estimate
 * but for the last stage, which stands at the new end. ḣ = v, v̇ = (F − D)/m − g with F = thrust − back pressure,
 * D = ½ ρ A c v², m = m0 − flow t, g by inverse square. A rise ends at v = 0; stages a little beyond it go on as if it did not, for
 * weights near ±175 would make much of the bend in v|v|.
 */
export function attempt(w: Workspace, from: End, to: End): void {
  const K = w.stages
  const { segments: air, byKilometre } = w
  const kind = w.airKind
  const inAir = kind !== 'none'
  const uniform = kind === 'uniform'
  const exponential = kind === 'exponential'
  const { table, burning, losing, step: dt, base, scale: uniformScale, firstSegment } = w
  const deriving = w.laneCount !== 0
  const lastSegment = w.segmentCount - 1
  const { radius, gravity, thrust, back, drag: k, mass, flow } = w
  const inverseDry = 1 / mass
  const { starts, pieces, pieceLow, pieceHigh } = w
  const { altitude: h0, speed: v0, time: t0 } = from
  let piece = w.piece
  let v = v0
  let a = from.acceleration
  K[0] = v
  K[1] = a
  K[2] = from.dragLoss
  K[3] = from.pressureLoss

  for (let i = 1; i < 8; i++) {
    // The row but for its last product, which alone waits for the stage just done: that one is added last.
    let sh = 0
    let sv = 0
    let c = 1
    let newest = A21
    switch (i) {
      case 1:
        c = C2
        break
      case 2:
        c = C3
        sh = A31 * K[0]!
        sv = A31 * K[1]!
        newest = A32
        break
      case 3:
        c = C4
        sh = A41 * K[0]!
        sv = A41 * K[1]!
        newest = A43
        break
      case 4:
        c = C5
        sh = A51 * K[0]! + A53 * K[8]!
        sv = A51 * K[1]! + A53 * K[9]!
        newest = A54
        break
      case 5:
        c = C6
        sh = A61 * K[0]! + A63 * K[8]! + A64 * K[12]!
        sv = A61 * K[1]! + A63 * K[9]! + A64 * K[13]!
        newest = A65
        break
      case 6:
        c = C7
        sh = A71 * K[0]! + A73 * K[8]! + A74 * K[12]! + A75 * K[16]!
        sv = A71 * K[1]! + A73 * K[9]! + A74 * K[13]! + A75 * K[17]!
        newest = A76
        break
      default:
        sh = A81 * K[0]! + A83 * K[8]! + A84 * K[12]! + A85 * K[16]! + A86 * K[20]!
        sv = A81 * K[1]! + A83 * K[9]! + A84 * K[13]! + A85 * K[17]! + A86 * K[21]!
        newest = A87
    }
    const part = dt * newest
    const h = h0 + dt * sh + part * v
    v = v0 + dt * sv + part * a

    let p = 0
    let dp = 0
    let rho = 0
    let drho = 0
    let slow = 0
    let dslow = 0
    if (exponential) {
      const { fall } = w
      const share = Math.exp(-h * fall)
      p = w.pressure0 * share
      rho = w.density0 * share
      dp = -p * fall
      drho = -rho * fall
      slow = w.slowness0
    } else if (inAir) {
      let x: number
      let at: number
      let scale = uniformScale
      if (uniform) {
        x = (h - base) * scale
        let segment = x | 0
        if (segment > lastSegment) segment = lastSegment
        else if (segment < 0) segment = 0
        x -= segment
        at = (firstSegment + segment) * SEGMENT
      } else {
        at = segmentAt(air, byKilometre, h) * SEGMENT
        scale = air[at + 1]!
        x = (h - air[at]!) * scale
      }
      const xx = x * x
      const r1 = air[at + 9]!
      const r2 = air[at + 10]!
      const r3 = air[at + 11]!
      const r4 = air[at + 12]!
      const r5 = air[at + 13]!
      rho = air[at + 8]! + x * r1 + xx * (r2 + x * r3 + xx * (r4 + x * r5))
      if (deriving) drho = scale * (r1 + x * (2 * r2) + xx * (3 * r3 + x * (4 * r4) + xx * (5 * r5)))
      if (burning) {
        const p1 = air[at + 3]!
        const p2 = air[at + 4]!
        const p3 = air[at + 5]!
        const p4 = air[at + 6]!
        const p5 = air[at + 7]!
        p = air[at + 2]! + x * p1 + xx * (p2 + x * p3 + xx * (p4 + x * p5))
        if (deriving) dp = scale * (p1 + x * (2 * p2) + xx * (3 * p3 + x * (4 * p4) + xx * (5 * p5)))
      }
      if (table) {
        const s1 = air[at + 15]!
        const s2 = air[at + 16]!
        const s3 = air[at + 17]!
        const s4 = air[at + 18]!
        const s5 = air[at + 19]!
        slow = air[at + 14]! + x * s1 + xx * (s2 + x * s3 + xx * (s4 + x * s5))
        if (deriving) dslow = scale * (s1 + x * (2 * s2) + xx * (3 * s3 + x * (4 * s4) + xx * (5 * s5)))
      }
    }

    let cd = 1
    let dcd = 0
    let past = 0
    if (table) {
      const mach = v * slow
      while (piece < pieceHigh && mach >= starts[piece + 1]!) piece++
      while (piece > pieceLow && mach < starts[piece]!) piece--
      past = mach - starts[piece]!
      const at = 4 * piece
      const c1 = pieces[at + 1]!
      const c2 = pieces[at + 2]!
      const c3 = pieces[at + 3]!
      cd = pieces[at]! + past * (c1 + past * (c2 + past * c3))
      dcd = c1 + past * (2 * c2 + past * (3 * c3))
    }

    const r = 1 / (radius + h)
    const share = radius * r
    const g = gravity * share * share
    const inverse = burning ? 1 / (mass - flow * (t0 + c * dt)) : inverseDry
    const grip = k * cd * rho * inverse
    const push = (thrust - back * p) * inverse
    const loss = grip * (v * v)
    a = push - loss - g
    const place = 4 * i
    K[place] = v
    K[place + 1] = a
    if (losing) {
      K[place + 2] = loss
      K[place + 3] = p * inverse
    }
    if (deriving) {
      const tangent = w.tangents[i]!
      const dynamic = rho * v * v
      const dragByAltitude = k * v * (drho * v * cd + dynamic * dcd * dslow)
      tangent.byAltitude = 2 * g * r - (back * dp + dragByAltitude) * inverse
      tangent.bySpeed = -k * rho * v * (2 * cd + v * dcd * slow) * inverse
      tangent.inverseMass = inverse
      tangent.pressure = p
      tangent.felt = push - loss
      tangent.flow = dynamic
      tangent.drag = cd * dynamic
      tangent.dragByAltitude = dragByAltitude * inverse
      tangent.pressureByAltitude = dp * inverse
      tangent.pastKnot = past
      tangent.piece = piece
    }
  }

  w.piece = piece
  w.evaluations += 7
  to.altitude = h0 + dt * (B1 * v0 + B4 * K[12]! + B5 * K[16]! + B6 * K[20]! + B7 * K[24]! + B8 * K[28]!)
  to.speed = v0 + dt * (B1 * K[1]! + B4 * K[13]! + B5 * K[17]! + B6 * K[21]! + B7 * K[25]! + B8 * K[29]!)
  to.time = t0 + dt
  w.altitudeError = E1 * v0 + E4 * K[12]! + E5 * K[16]! + E6 * K[20]! + E7 * K[24]! + E8 * K[28]!
  w.speedError = E1 * K[1]! + E4 * K[13]! + E5 * K[17]! + E6 * K[21]! + E7 * K[25]! + E8 * K[29]!
  if (losing) {
    w.stepDragLoss = dt * (B1 * K[2]! + B4 * K[14]! + B5 * K[18]! + B6 * K[22]! + B7 * K[26]! + B8 * K[30]!)
    w.stepPressureLoss = dt * (B1 * K[3]! + B4 * K[15]! + B5 * K[19]! + B6 * K[23]! + B7 * K[27]! + B8 * K[31]!)
  }
}

/** Error of the trial step in tolerances: the larger of altitude's and speed's. Both ends must be evaluated. */
export function judge(w: Workspace, from: End, to: End): void {
  const scale = w.step / w.tolerance
  const h = Math.max(Math.abs(from.altitude), Math.abs(to.altitude)) + w.altitudeScale
  const v = Math.max(Math.abs(from.speed), Math.abs(to.speed)) + w.speedScale
  const altitude = Math.abs(w.altitudeError + E9 * to.speed) / h
  const speed = Math.abs(w.speedError + E9 * to.acceleration) / v
  w.error = scale * Math.max(altitude, speed)
}

/**
 * Derivatives, carried along in the flight's own steps: the equations of `attempt`, differentiated, with the same tableau and the
 * stages it recorded. δv̇ = a_h δh + a_v δv + a_θ; a lever enters only through mass, flow, thrust, back pressure and drag.
 */
export function moveLanes(w: Workspace, from: End): void {
  const J = w.laneStages
  const { table, losing, step: dt, drag: k, lanePieces, pieceCount } = w
  const t0 = from.time
  for (let l = 0; l < w.laneCount; l++) {
    const lane = w.lanes[l]!
    const h0 = lane.altitude
    const v0 = lane.speed
    const { mass, flow, thrust, back, drag: laneDrag } = lane
    let dragLoss = 0
    let pressureLoss = 0
    let v = v0
    let a = 0
    for (let i = 0; i < 8; i++) {
      let sh = 0
      let sv = 0
      let c = 1
      let b = 0
      let newest = A21
      switch (i) {
        case 0:
          c = 0
          b = B1
          newest = 0
          break
        case 1:
          c = C2
          break
        case 2:
          c = C3
          sh = A31 * J[0]!
          sv = A31 * J[1]!
          newest = A32
          break
        case 3:
          c = C4
          b = B4
          sh = A41 * J[0]!
          sv = A41 * J[1]!
          newest = A43
          break
        case 4:
          c = C5
          b = B5
          sh = A51 * J[0]! + A53 * J[4]!
          sv = A51 * J[1]! + A53 * J[5]!
          newest = A54
          break
        case 5:
          c = C6
          b = B6
          sh = A61 * J[0]! + A63 * J[4]! + A64 * J[6]!
          sv = A61 * J[1]! + A63 * J[5]! + A64 * J[7]!
          newest = A65
          break
        case 6:
          c = C7
          b = B7
          sh = A71 * J[0]! + A73 * J[4]! + A74 * J[6]! + A75 * J[8]!
          sv = A71 * J[1]! + A73 * J[5]! + A74 * J[7]! + A75 * J[9]!
          newest = A76
          break
        default:
          b = B8
          sh = A81 * J[0]! + A83 * J[4]! + A84 * J[6]! + A85 * J[8]! + A86 * J[10]!
          sv = A81 * J[1]! + A83 * J[5]! + A84 * J[7]! + A85 * J[9]! + A86 * J[11]!
          newest = A87
      }
      const part = dt * newest
      const h = h0 + dt * sh + part * v
      v = v0 + dt * sv + part * a
      const tangent = i === 0 ? from.tangent : w.tangents[i]!
      const inverse = tangent.inverseMass
      let drag = laneDrag * tangent.drag
      if (table) {
        const d = 4 * (l * pieceCount + tangent.piece)
        const past = tangent.pastKnot
        const change =
          lanePieces[d]! + past * (lanePieces[d + 1]! + past * (lanePieces[d + 2]! + past * lanePieces[d + 3]!))
        drag += k * tangent.flow * change
      }
      const m = mass - (t0 + c * dt) * flow
      const bySpeed = tangent.bySpeed
      const p = tangent.pressure
      const own = inverse * (thrust - p * back - drag - tangent.felt * m)
      a = tangent.byAltitude * h + own + bySpeed * v
      J[2 * i] = v
      J[2 * i + 1] = a
      if (losing) {
        dragLoss += b * (tangent.dragByAltitude * h - bySpeed * v + inverse * (drag - k * tangent.drag * inverse * m))
        pressureLoss += b * (tangent.pressureByAltitude * h - p * inverse * inverse * m)
      }
    }
    lane.altitude0 = h0
    lane.speed0 = v0
    lane.acceleration0 = J[1]!
    lane.altitude = h0 + dt * (B1 * v0 + B4 * J[6]! + B5 * J[8]! + B6 * J[10]! + B7 * J[12]! + B8 * J[14]!)
    lane.speed = v0 + dt * (B1 * J[1]! + B4 * J[7]! + B5 * J[9]! + B6 * J[11]! + B7 * J[13]! + B8 * J[15]!)
    lane.dragLoss += dt * dragLoss
    lane.pressureLoss += dt * pressureLoss
  }
}
