import { airInto } from './air.ts'
import type { Craft } from './craft.ts'
import { cubic, cubicSlope } from './pieces.ts'
import { ANGLE, BACK_LOSS, DRAG_LOSS, H, HEAT, MASS, type Point, U, W } from './point.ts'

/**
 * The rates of a state, in a plane through the body's centre: ḣ = u, u̇ = (F − D)ᵤ/m + w²/r − g, ẇ = (F − D)_w/m − u w/r, angle rate w/r,
 * with g = g_s (R/r)², F = T (1 − β p), never below 0, along the velocity (or at the pitch given), D = ½ ρ V² (A c(mach) + canopies) against it;
 * mass flow T/c. On the rail the motion keeps to it, also where it slides back, and thrust points up it; on the pad nothing moves. Heating by Sutton and Graves, NASA TR R-376 (1971): K √(ρ/Rₙ) V³.
 */
export function evaluate(craft: Craft, point: Point, sloped = craft.lanes.length > 0): void {
  const { state, rates } = point
  const h = state[H]!
  const u = state[U]!
  const w = state[W]!
  const m = state[MASS]!
  airInto(craft.air, craft.layer, h, point, sloped)
  const { density: rho } = point
  const near = 1 / (craft.radius + h)
  const g = craft.surfaceGravity * craft.radius * near * (craft.radius * near)
  direct(craft, point, u, w)
  const { speed: v, eu, ew } = point
  thrust(craft, point)
  drag(craft, point, v)
  const dynamic = 0.5 * rho * v * v
  const push = (point.vacuum * point.share) / m
  const slow = (dynamic * point.area) / m
  point.gravity = g
  point.nearness = near
  point.push = push
  point.drag = slow
  point.q = dynamic
  point.heat = craft.heating === 0 ? 0 : craft.heating * Math.sqrt(rho) * v * v * Math.abs(v)
  rates[MASS] = -point.flow
  rates[BACK_LOSS] = point.back / m
  craft.evaluations++
  if (craft.mode === 'pad') {
    point.felt = g
    rates[H] = 0
    rates[U] = 0
    rates[W] = 0
    rates[ANGLE] = 0
    rates[DRAG_LOSS] = 0
    rates[HEAT] = 0
    return
  }
  rates[H] = u
  rates[ANGLE] = w * near
  rates[DRAG_LOSS] = slow
  rates[HEAT] = point.heat
  if (craft.mode === 'rail') {
    const along = push - craft.direction * slow
    const a = along - g * craft.sine
    rates[U] = a * craft.sine
    rates[W] = a * craft.cosine
    point.felt = Math.abs(along)
    return
  }
  const au = push * point.du - slow * eu
  const aw = push * point.dw - slow * ew
  rates[U] = au + w * w * near - g
  rates[W] = aw - u * w * near
  point.felt = craft.pitch && craft.burning ? Math.sqrt(au * au + aw * aw) : Math.abs(push - slow)
}

/** The speed along the motion and the directions of motion and thrust. */
function direct(craft: Craft, point: Point, u: number, w: number): void {
  if (craft.mode !== 'free') {
    point.eu = craft.direction * craft.sine
    point.ew = craft.direction * craft.cosine
    point.speed = u * point.eu + w * point.ew
  } else if (craft.vertical) {
    point.eu = craft.direction
    point.ew = 0
    point.speed = craft.direction * u
  } else {
    const v = Math.sqrt(u * u + w * w)
    point.speed = v
    point.eu = v > 0 ? u / v : craft.sine
    point.ew = v > 0 ? w / v : craft.cosine
  }
  point.du = point.eu
  point.dw = point.ew
  if (craft.mode !== 'free' || !craft.pitch || !craft.burning) return
  const angle = cubic(craft.pitch, craft.pitchPiece, point.time + craft.hold)
  point.du = Math.sin(angle)
  point.dw = Math.cos(angle)
}

function thrust(craft: Craft, point: Point): void {
  if (!craft.burning) {
    point.vacuum = 0
    point.vacuumByTime = 0
    point.vacuumByCap = 0
    point.shape = 0
    point.share = 0
    point.flow = 0
    point.back = 0
    return
  }
  const { shape, vacuum, cap } = craft
  if (shape) {
    const since = point.time - craft.ignition
    const value = Math.max(0, cubic(shape, craft.shapePiece, cap * since))
    const slope = value > 0 ? cubicSlope(shape, craft.shapePiece, cap * since) : 0
    point.shape = value
    point.vacuum = vacuum * value
    point.vacuumByTime = vacuum * slope * cap
    point.vacuumByCap = vacuum * slope * since
  } else {
    point.shape = 1
    point.vacuum = vacuum
    point.vacuumByTime = 0
    point.vacuumByCap = 0
  }
  const lost = craft.clipped ? 1 : craft.beta * point.pressure
  point.share = 1 - lost
  point.back = point.vacuum * lost
  point.flow = point.vacuum / craft.exhaust
}

function drag(craft: Craft, point: Point, v: number): void {
  const mach = v * point.slowness
  const { starts, pieces } = craft.dragPieces
  let piece = craft.pieceLow
  while (piece < craft.pieceHigh && mach >= starts[piece + 1]!) piece++
  const past = mach - starts[piece]!
  const at = 4 * piece
  const c1 = pieces[at + 1]!
  const c2 = pieces[at + 2]!
  const c3 = pieces[at + 3]!
  point.mach = mach
  point.piece = piece
  point.past = past
  point.coefficient = pieces[at]! + past * (c1 + past * (c2 + past * c3))
  point.coefficientSlope = c1 + past * (2 * c2 + past * 3 * c3)
  point.canopy = canopyAt(craft, point.time)
  point.area = craft.area * point.coefficient + point.canopy
}

function canopyAt(craft: Craft, time: number): number {
  if (craft.fillTime === 0) return craft.canopyTo
  return craft.canopyFrom + ((craft.canopyTo - craft.canopyFrom) * (time - craft.opened)) / craft.fillTime
}
