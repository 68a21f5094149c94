import { SEGMENT } from '../profile.ts'
import { segmentAt } from '../rates.ts'
import { VERNER } from '../step.ts'
import { EXPONENTIAL, NOTHING, UNIFORM, VOID } from './air.ts'
import type { Craft } from './craft.ts'
import { burnt, cubic } from './pieces.ts'
import { ANGLE, BACK_LOSS, DRAG_LOSS, H, HEAT, MASS, type Point, SIZE, U, W } from './point.ts'

// Named one by one so that they are constants of the compiled code.
const [, [A21], [A31, A32], [A41, , A43], [A51, , A53, A54], [A61, , A63, A64, A65]] = VERNER.matrix
const [A71, , A73, A74, A75, A76] = VERNER.matrix[6]
const [A81, , A83, A84, A85, A86, A87] = VERNER.matrix[7]
const [B1, , , B4, B5, B6, B7, B8] = VERNER.weights
const [E1, , , E4, E5, E6, E7, E8] = VERNER.errors
const [, C2, C3, C4, C5, C6, C7] = VERNER.nodes

/** Stages before the last, which stands at the step's end. */
export const STAGES = 8
/** Numbers that a stage's state is kept as: those that rates hang on. */
export const ACTING = 4

/** Rates at the stages of the step in hand, as in a point's (eight numbers each: below, K[16] is the rise at the third); states there; errors but for the last stage's share, by component. */
const K = new Float64Array(STAGES * SIZE)
export const passed = new Float64Array(STAGES * ACTING)
export const errors = new Float64Array(SIZE)

/**
 * The equations of forces.ts at the stages of one trial step (`craft.step`) from an end of known rates, and the state at its other end. All in one
 * function and its numbers in locals: it is where a flight's time goes. Mass has a closed form.
 */
export function march(craft: Craft, from: Point, to: Point): void {
  const { step: dt } = craft
  const { air, mode, vertical, burning, clipped, direction, sine, cosine, radius, surfaceGravity, heating } = craft
  const layer = craft.layer < air.layers.length ? air.layers[craft.layer]! : NOTHING
  const { kind, base, first, last } = layer
  const { segments } = air
  const { starts, pieces } = craft.dragPieces
  const { pieceLow, pieceHigh, area, fillTime } = craft
  const tabled = starts.length > 2
  const rail = mode === 'rail'
  const stands = mode === 'pad'
  const planar = !rail && !vertical
  const heats = heating !== 0
  const { losing } = craft
  const shape = burning ? craft.shape : null
  const pitch = burning && mode === 'free' ? craft.pitch : null
  const beta = clipped ? 0 : craft.beta
  const flow = craft.vacuum / craft.exhaust
  let thrust = burning ? craft.vacuum : 0
  const { state, rates, time: t0 } = from
  const h0 = state[H]!
  const u0 = state[U]!
  const w0 = state[W]!
  const m0 = state[MASS]!
  let u = u0
  let w = w0
  let a = rates[U]!
  let b = rates[W]!
  let inverse = 1 / m0
  for (let k = 0; k < SIZE; k++) K[k] = rates[k]!

  for (let i = 1; i < STAGES; i++) {
    // The row but for its last product, which alone waits for the stage just done: that one is added last.
    let sh = 0
    let su = 0
    let sw = 0
    let c = 1
    let newest: number = A21
    switch (i) {
      case 1:
        c = C2
        break
      case 2:
        c = C3
        sh = A31 * K[0]!
        su = A31 * K[1]!
        if (!vertical) sw = A31 * K[2]!
        newest = A32
        break
      case 3:
        c = C4
        sh = A41 * K[0]!
        su = A41 * K[1]!
        if (!vertical) sw = A41 * K[2]!
        newest = A43
        break
      case 4:
        c = C5
        sh = A51 * K[0]! + A53 * K[16]!
        su = A51 * K[1]! + A53 * K[17]!
        if (!vertical) sw = A51 * K[2]! + A53 * K[18]!
        newest = A54
        break
      case 5:
        c = C6
        sh = A61 * K[0]! + A63 * K[16]! + A64 * K[24]!
        su = A61 * K[1]! + A63 * K[17]! + A64 * K[25]!
        if (!vertical) sw = A61 * K[2]! + A63 * K[18]! + A64 * K[26]!
        newest = A65
        break
      case 6:
        c = C7
        sh = A71 * K[0]! + A73 * K[16]! + A74 * K[24]! + A75 * K[32]!
        su = A71 * K[1]! + A73 * K[17]! + A74 * K[25]! + A75 * K[33]!
        if (!vertical) sw = A71 * K[2]! + A73 * K[18]! + A74 * K[26]! + A75 * K[34]!
        newest = A76
        break
      default:
        sh = A81 * K[0]! + A83 * K[16]! + A84 * K[24]! + A85 * K[32]! + A86 * K[40]!
        su = A81 * K[1]! + A83 * K[17]! + A84 * K[25]! + A85 * K[33]! + A86 * K[41]!
        if (!vertical) sw = A81 * K[2]! + A83 * K[18]! + A84 * K[26]! + A85 * K[34]! + A86 * K[42]!
        newest = A87
    }
    const part = dt * newest
    const h = h0 + dt * sh + part * u
    u = u0 + dt * su + part * a
    if (!vertical) w = w0 + dt * sw + part * b

    let m = m0
    if (shape) {
      m = m0 - burnt(craft, t0, c * dt)
      inverse = 1 / m
      thrust = craft.vacuum * Math.max(0, cubic(shape, craft.shapePiece, craft.cap * (t0 + c * dt - craft.ignition)))
    } else if (burning) {
      m = m0 - flow * (c * dt)
      inverse = 1 / m
    }

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
        x = (h - base) * layer.scale
        let segment = x | 0
        if (segment > last - first) segment = last - first
        else if (segment < 0) segment = 0
        x -= segment
        at = SEGMENT * (first + segment)
      } else {
        let segment = segmentAt(segments, air.byKilometre, h)
        if (segment > last) segment = last
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

    let v: number
    let eu = direction
    let ew = 0
    if (planar) {
      v = Math.sqrt(u * u + w * w)
      eu = v > 0 ? u / v : sine
      ew = v > 0 ? w / v : cosine
    } else if (rail) {
      eu = direction * sine
      ew = direction * cosine
      v = u * eu + w * ew
    } else v = direction * u

    let coefficient = pieces[4]!
    if (tabled) {
      const mach = v * slowness
      let piece = pieceLow
      while (piece < pieceHigh && mach >= starts[piece + 1]!) piece++
      const past = mach - starts[piece]!
      const q = 4 * piece
      coefficient = pieces[q]! + past * (pieces[q + 1]! + past * (pieces[q + 2]! + past * pieces[q + 3]!))
    }
    let canopy = craft.canopyTo
    if (fillTime !== 0)
      canopy = craft.canopyFrom + ((canopy - craft.canopyFrom) * (t0 + c * dt - craft.opened)) / fillTime

    const near = 1 / (radius + h)
    const share = radius * near
    const g = surfaceGravity * share * share
    const lost = clipped ? 1 : beta * p
    const push = thrust * (1 - lost) * inverse
    const drag = 0.5 * rho * v * v * (area * coefficient + canopy) * inverse
    if (stands) {
      a = 0
      b = 0
    } else if (rail) {
      const along = push - direction * drag - g * sine
      a = along * sine
      b = along * cosine
    } else if (pitch) {
      const angle = cubic(pitch, craft.pitchPiece, t0 + c * dt + craft.hold)
      a = push * Math.sin(angle) - drag * eu + w * w * near - g
      b = push * Math.cos(angle) - drag * ew - u * w * near
    } else if (vertical) a = (push - drag) * direction - g
    else {
      a = (push - drag) * eu + w * w * near - g
      b = (push - drag) * ew - u * w * near
    }
    const place = SIZE * i
    K[place] = u
    K[place + 1] = a
    if (!vertical) {
      K[place + 2] = b
      K[place + 4] = w * near
    }
    if (losing) {
      K[place + 5] = drag
      K[place + 6] = thrust * lost * inverse
    }
    if (heats) K[place + 7] = heating * Math.sqrt(rho) * v * v * Math.abs(v)
    const stage = ACTING * i
    passed[stage] = h
    passed[stage + 1] = u
    passed[stage + 2] = w
    passed[stage + 3] = m
  }

  craft.evaluations += STAGES - 1
  const end = to.state
  to.time = t0 + dt
  end[H] = h0 + dt * (B1 * K[0]! + B4 * K[24]! + B5 * K[32]! + B6 * K[40]! + B7 * K[48]! + B8 * K[56]!)
  end[U] = u0 + dt * (B1 * K[1]! + B4 * K[25]! + B5 * K[33]! + B6 * K[41]! + B7 * K[49]! + B8 * K[57]!)
  end[MASS] = shape ? m0 - burnt(craft, t0, dt) : burning ? m0 - flow * dt : m0
  errors[H] = E1 * K[0]! + E4 * K[24]! + E5 * K[32]! + E6 * K[40]! + E7 * K[48]! + E8 * K[56]!
  errors[U] = E1 * K[1]! + E4 * K[25]! + E5 * K[33]! + E6 * K[41]! + E7 * K[49]! + E8 * K[57]!
  end[W] = w0
  end[ANGLE] = state[ANGLE]!
  end[DRAG_LOSS] = state[DRAG_LOSS]!
  end[BACK_LOSS] = state[BACK_LOSS]!
  end[HEAT] = state[HEAT]!
  errors[W] = 0
  if (!vertical) {
    end[W]! += dt * (B1 * K[2]! + B4 * K[26]! + B5 * K[34]! + B6 * K[42]! + B7 * K[50]! + B8 * K[58]!)
    end[ANGLE]! += dt * (B1 * K[4]! + B4 * K[28]! + B5 * K[36]! + B6 * K[44]! + B7 * K[52]! + B8 * K[60]!)
    errors[W] = E1 * K[2]! + E4 * K[26]! + E5 * K[34]! + E6 * K[42]! + E7 * K[50]! + E8 * K[58]!
  }
  if (losing) {
    end[DRAG_LOSS]! += dt * (B1 * K[5]! + B4 * K[29]! + B5 * K[37]! + B6 * K[45]! + B7 * K[53]! + B8 * K[61]!)
    end[BACK_LOSS]! += dt * (B1 * K[6]! + B4 * K[30]! + B5 * K[38]! + B6 * K[46]! + B7 * K[54]! + B8 * K[62]!)
  }
  if (heats) {
    end[HEAT]! += dt * (B1 * K[7]! + B4 * K[31]! + B5 * K[39]! + B6 * K[47]! + B7 * K[55]! + B8 * K[63]!)
    errors[HEAT] = E1 * K[7]! + E4 * K[31]! + E5 * K[39]! + E6 * K[47]! + E7 * K[55]! + E8 * K[63]!
  }
}
