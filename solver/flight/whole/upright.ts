import { SEGMENT } from '../profile.ts'
import { segmentAt } from '../rates.ts'
import { VERNER } from '../step.ts'
import { EXPONENTIAL, NOTHING, UNIFORM, VOID } from './air.ts'
import type { Craft } from './craft.ts'
import { ACTING, errors, passed, STAGES } from './march.ts'
import { ANGLE, BACK_LOSS, DRAG_LOSS, H, HEAT, MASS, type Point, U, W } from './point.ts'

// Named one by one so that they are constants of the compiled code.
const [, [A21], [A31, A32], [A41, , A43], [A51, , A53, A54], [A61, , A63, A64, A65]] = VERNER.matrix
const [A71, , A73, A74, A75, A76] = VERNER.matrix[6]
const [A81, , A83, A84, A85, A86, A87] = VERNER.matrix[7]
const [B1, , , B4, B5, B6, B7, B8] = VERNER.weights
const [E1, , , E4, E5, E6, E7, E8] = VERNER.errors
const [, C2, C3, C4, C5, C6, C7] = VERNER.nodes

/** Altitude rate, upward rate, drag loss, back pressure loss and heat rates at the stages of the step in hand, by figure: five rows of eight. */
const K = new Float64Array(5 * STAGES)

/** Whether `marchUpright` has the equations of the regime. */
export function isUpright(craft: Craft): boolean {
  return craft.vertical && craft.mode === 'free' && craft.fillTime === 0 && (!craft.burning || craft.shape === null)
}

/** What `march` does, for flight straight up or down with flat thrust and canopies that do not grow: with fewer numbers. */
export function marchUpright(craft: Craft, from: Point, to: Point): void {
  const { step: dt } = craft
  const { air, burning, clipped, direction, radius, surfaceGravity, heating, losing } = craft
  const layer = craft.layer < air.layers.length ? air.layers[craft.layer]! : NOTHING
  const { kind, base, first, scale } = layer
  const most = layer.last - first
  const { segments } = air
  const { starts, pieces } = craft.dragPieces
  const { pieceLow, pieceHigh, area, canopyTo } = craft
  const tabled = starts.length > 2
  const heats = heating !== 0
  const keeps = craft.lanes.length !== 0
  const beta = clipped ? 0 : craft.beta
  const clip = clipped ? 1 : 0
  const thrust = burning ? craft.vacuum : 0
  const flow = burning ? craft.vacuum / craft.exhaust : 0
  const { state, rates } = from
  const h0 = state[H]!
  const u0 = state[U]!
  const m0 = state[MASS]!
  const fixed = area * pieces[4]! + canopyTo
  let u = u0
  let a = rates[U]!
  let inverse = 1 / m0
  K[0] = u
  K[8] = a
  K[16] = rates[DRAG_LOSS]!
  K[24] = rates[BACK_LOSS]!
  K[32] = rates[HEAT]!

  for (let i = 1; i < STAGES; i++) {
    // The row but for its last product, which alone waits for the stage just done: that one is added last.
    let sh = 0
    let su = 0
    let c = 1
    let newest: number = A21
    switch (i) {
      case 1:
        c = C2
        break
      case 2:
        c = C3
        sh = A31 * K[0]!
        su = A31 * K[8]!
        newest = A32
        break
      case 3:
        c = C4
        sh = A41 * K[0]!
        su = A41 * K[8]!
        newest = A43
        break
      case 4:
        c = C5
        sh = A51 * K[0]! + A53 * K[2]!
        su = A51 * K[8]! + A53 * K[10]!
        newest = A54
        break
      case 5:
        c = C6
        sh = A61 * K[0]! + A63 * K[2]! + A64 * K[3]!
        su = A61 * K[8]! + A63 * K[10]! + A64 * K[11]!
        newest = A65
        break
      case 6:
        c = C7
        sh = A71 * K[0]! + A73 * K[2]! + A74 * K[3]! + A75 * K[4]!
        su = A71 * K[8]! + A73 * K[10]! + A74 * K[11]! + A75 * K[12]!
        newest = A76
        break
      default:
        sh = A81 * K[0]! + A83 * K[2]! + A84 * K[3]! + A85 * K[4]! + A86 * K[5]!
        su = A81 * K[8]! + A83 * K[10]! + A84 * K[11]! + A85 * K[12]! + A86 * K[13]!
        newest = A87
    }
    const part = dt * newest
    const h = h0 + dt * sh + part * u
    u = u0 + dt * su + part * a
    if (burning) inverse = 1 / (m0 - flow * (c * dt))

    let p = 0
    let rho = 0
    let slowness = 0
    if (kind === EXPONENTIAL) {
      const share = Math.exp(-h * air.fall)
      p = air.pressure * share
      rho = air.density * share
      slowness = air.slowness
    } else if (kind !== VOID) {
      let x: number
      let at: number
      if (kind === UNIFORM) {
        x = (h - base) * scale
        let segment = x | 0
        if (segment > most) segment = most
        else if (segment < 0) segment = 0
        x -= segment
        at = SEGMENT * (first + segment)
      } else {
        let segment = segmentAt(segments, air.byKilometre, h)
        if (segment > layer.last) segment = layer.last
        else if (segment < first) segment = first
        at = SEGMENT * segment
        x = (h - segments[at]!) * segments[at + 1]!
      }
      const xx = x * x
      rho =
        segments[at + 8]! +
        x * segments[at + 9]! +
        xx * (segments[at + 10]! + x * segments[at + 11]! + xx * (segments[at + 12]! + x * segments[at + 13]!))
      if (burning)
        p =
          segments[at + 2]! +
          x * segments[at + 3]! +
          xx * (segments[at + 4]! + x * segments[at + 5]! + xx * (segments[at + 6]! + x * segments[at + 7]!))
      if (tabled)
        slowness =
          segments[at + 14]! +
          x * segments[at + 15]! +
          xx * (segments[at + 16]! + x * segments[at + 17]! + xx * (segments[at + 18]! + x * segments[at + 19]!))
    }

    let all = fixed
    if (tabled) {
      const mach = direction * u * slowness
      let piece = pieceLow
      while (piece < pieceHigh && mach >= starts[piece + 1]!) piece++
      const past = mach - starts[piece]!
      const q = 4 * piece
      all = area * (pieces[q]! + past * (pieces[q + 1]! + past * (pieces[q + 2]! + past * pieces[q + 3]!))) + canopyTo
    }
    const share = radius * (1 / (radius + h))
    const lost = clip + beta * p
    const drag = 0.5 * rho * u * u * all * inverse
    a = (thrust * (1 - lost) * inverse - drag) * direction - surfaceGravity * share * share
    K[i] = u
    K[8 + i] = a
    if (losing) {
      K[16 + i] = drag
      K[24 + i] = thrust * lost * inverse
    }
    if (heats) K[32 + i] = heating * Math.sqrt(rho) * u * u * Math.abs(u)
    if (keeps) {
      const stage = ACTING * i
      passed[stage] = h
      passed[stage + 1] = u
      passed[stage + 2] = 0
      passed[stage + 3] = burning ? m0 - flow * (c * dt) : m0
    }
  }

  craft.evaluations += STAGES - 1
  const end = to.state
  to.time = from.time + dt
  end[H] = h0 + dt * (B1 * K[0]! + B4 * K[3]! + B5 * K[4]! + B6 * K[5]! + B7 * K[6]! + B8 * K[7]!)
  end[U] = u0 + dt * (B1 * K[8]! + B4 * K[11]! + B5 * K[12]! + B6 * K[13]! + B7 * K[14]! + B8 * K[15]!)
  end[W] = state[W]!
  end[MASS] = m0 - flow * dt
  end[ANGLE] = state[ANGLE]!
  errors[H] = E1 * K[0]! + E4 * K[3]! + E5 * K[4]! + E6 * K[5]! + E7 * K[6]! + E8 * K[7]!
  errors[U] = E1 * K[8]! + E4 * K[11]! + E5 * K[12]! + E6 * K[13]! + E7 * K[14]! + E8 * K[15]!
  errors[W] = 0
  end[DRAG_LOSS] = state[DRAG_LOSS]!
  end[BACK_LOSS] = state[BACK_LOSS]!
  end[HEAT] = state[HEAT]!
  if (losing) {
    end[DRAG_LOSS]! += dt * (B1 * K[16]! + B4 * K[19]! + B5 * K[20]! + B6 * K[21]! + B7 * K[22]! + B8 * K[23]!)
    end[BACK_LOSS]! += dt * (B1 * K[24]! + B4 * K[27]! + B5 * K[28]! + B6 * K[29]! + B7 * K[30]! + B8 * K[31]!)
  }
  if (heats) {
    end[HEAT]! += dt * (B1 * K[32]! + B4 * K[35]! + B5 * K[36]! + B6 * K[37]! + B7 * K[38]! + B8 * K[39]!)
    errors[HEAT] = E1 * K[32]! + E4 * K[35]! + E5 * K[36]! + E6 * K[37]! + E7 * K[38]! + E8 * K[39]!
  }
}
