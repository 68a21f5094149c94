import type { Curve } from '../../model/expr.ts'
import { airInto } from './air.ts'
import type { Craft, Lane } from './craft.ts'
import { createLane } from './craft.ts'
import { ANGLE, BACK_LOSS, copyNumbers, DRAG_LOSS, H, HEAT, MASS, type Point, U, W } from './point.ts'

/**
 * The rates of a state, in a plane through the body's centre: ḣ = u, u̇ = (F − D)ᵤ/m + w²/r − g, ẇ = (F − D)_w/m − u w/r, angle rate w/r,
 * with g = g_s (R/r)², F = T (1 − β p), never below 0, along the velocity (or at the pitch given), D = ½ ρ V² (A c(mach) + canopies) against it;
 * mass flow T/c. On the rail the motion keeps to it, also where it slides back, and thrust points up it; on the pad nothing moves. Heating by Sutton and Graves, NASA TR R-376 (1971): K √(ρ/Rₙ) V³.
 */
export function evaluate(craft: Craft, point: Point): void {
  const { state, rates } = point
  const h = state[H]!
  const u = state[U]!
  const w = state[W]!
  const m = state[MASS]!
  airInto(craft.air, craft.layer, h, point)
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

/** Piece of a curve at x, also a little beyond its ends; a curve of one knot is constant. */
function cubic({ knots, coefficients }: Curve, piece: number, x: number): number {
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at]! + w * (coefficients[at + 1]! + w * (coefficients[at + 2]! + w * coefficients[at + 3]!))
}

function cubicSlope({ knots, coefficients }: Curve, piece: number, x: number): number {
  const w = x - knots[piece]!
  const at = 4 * piece
  return coefficients[at + 1]! + w * (2 * coefficients[at + 2]! + w * 3 * coefficients[at + 3]!)
}

/**
 * The changes of rates and watched figures at a point where its state changes as `state` and the forces as a lane says; into `craft.change`.
 * `index`: the lane's place, −1 for none.
 */
export function vary(craft: Craft, point: Point, lane: Lane, index: number): void {
  const out = craft.change
  const { state } = lane
  const { state: y } = point
  const h = state[H]!
  const u = state[U]!
  const w = state[W]!
  const m = state[MASS]!
  const { eu, ew, speed: v, nearness: near, gravity: g } = point
  const inverse = 1 / y[MASS]!
  const along = u * eu + w * ew
  const rho = point.densitySlope * h
  const p = point.pressureSlope * h
  const vacuum = thrustChange(craft, point, lane)
  const lost = craft.clipped || !craft.burning ? 0 : craft.beta * p + lane.beta * point.pressure
  const push = (vacuum * point.share - point.vacuum * lost - point.push * m) * inverse
  const mach = along * point.slowness + v * point.slownessSlope * h
  const area = areaChange(craft, point, lane, index, mach)
  const q = (0.5 * rho * v + point.density * along) * v
  const slow = (q * point.area + point.q * area - point.drag * m) * inverse
  const fall = -2 * g * near * h
  out.speed = along
  out.mach = mach
  out.q = q
  out.push = push
  out.massRate = craft.burning ? -(vacuum - point.flow * lane.exhaust) / craft.exhaust : 0
  const lostNow = craft.clipped ? 1 : craft.beta * point.pressure
  out.backLossRate = craft.burning ? (vacuum * lostNow + point.vacuum * lost - point.back * m * inverse) * inverse : 0
  if (craft.mode === 'pad') {
    out.upRate = 0
    out.sideRate = 0
    out.angleRate = 0
    out.dragLossRate = 0
    out.heatRate = 0
    out.felt = fall
    out.heat = 0
    return
  }
  out.angleRate = (w - y[W]! * near * h) * near
  out.dragLossRate = slow
  out.heat = heatChange(point, lane, rho, along)
  out.heatRate = out.heat
  const sign = point.push >= point.drag ? 1 : -1
  out.felt = sign * (push - slow)
  if (craft.mode === 'rail') {
    const { sine, cosine, direction } = craft
    const along = point.push - direction * point.drag
    out.felt = Math.sign(along) * (push - direction * slow)
    const a = along - g * sine
    const change = push - direction * slow - fall * sine - g * cosine * lane.elevation
    out.upRate = change * sine + a * cosine * lane.elevation
    out.sideRate = change * cosine - a * sine * lane.elevation
    return
  }
  const turnU = v > 0 && !craft.vertical ? (u - eu * along) / v : 0
  const turnW = v > 0 && !craft.vertical ? (w - ew * along) / v : 0
  let thrustU = turnU
  let thrustW = turnW
  const guided = craft.pitch !== null && craft.burning
  if (guided) {
    const swing = cubicSlope(craft.pitch!, craft.pitchPiece, point.time + craft.hold) * lane.pitchClock
    thrustU = point.dw * swing
    thrustW = -point.du * swing
  }
  const au = push * point.du + point.push * thrustU - slow * eu - point.drag * turnU
  const aw = push * point.dw + point.push * thrustW - slow * ew - point.drag * turnW
  const side = y[W]! * near
  out.upRate = au + 2 * side * w - side * side * h - fall
  out.sideRate = aw - near * (y[W]! * u + y[U]! * w) + y[U]! * side * near * h
  if (guided && point.felt > 0) {
    const feltU = point.push * point.du - point.drag * eu
    const feltW = point.push * point.dw - point.drag * ew
    out.felt = (feltU * au + feltW * aw) / point.felt
  }
}

/** Change of the vacuum thrust. */
function thrustChange(craft: Craft, point: Point, lane: Lane): number {
  if (!craft.burning) return 0
  return lane.vacuum * point.shape + point.vacuumByTime * lane.burnClock + point.vacuumByCap * lane.cap
}

function areaChange(craft: Craft, point: Point, lane: Lane, index: number, mach: number): number {
  let coefficient = point.coefficientSlope * mach
  if (index >= 0) {
    const d = craft.dragPieces.lanes[index]!
    const { past, piece } = point
    const at = 4 * piece
    coefficient += d[at]! + past * (d[at + 1]! + past * (d[at + 2]! + past * d[at + 3]!))
  }
  return craft.area * coefficient + lane.area * point.coefficient + canopyChange(craft, point, lane)
}

export function canopyChange(craft: Craft, point: Point, lane: Lane): number {
  if (craft.fillTime === 0) return lane.canopyTo
  const share = (point.time - craft.opened) / craft.fillTime
  const growth = (craft.canopyTo - craft.canopyFrom) / craft.fillTime
  return lane.canopyFrom * (1 - share) + lane.canopyTo * share + growth * (lane.fillClock - share * lane.fillTime)
}

function heatChange(point: Point, lane: Lane, rho: number, along: number): number {
  if (!(point.heat > 0)) return 0
  return point.heat * ((0.5 * rho) / point.density + (3 * along) / point.speed - 0.5 * lane.nose)
}

/** Time itself as a lane. */
const motion = createLane()
motion.burnClock = 1
motion.fillClock = 1
motion.pitchClock = 1

/** Works out a point's rates along the motion too, for where a step ends. */
export function complete(craft: Craft, point: Point): void {
  evaluate(craft, point)
  copyNumbers(point.rates, motion.state)
  vary(craft, point, motion, -1)
  const { change } = craft
  point.speedRate = change.speed
  point.feltRate = change.felt
  point.qRate = change.q
  point.machRate = change.mach
  point.heatRate = change.heat
  point.pushRate = change.push
  point.upJerk = change.upRate
  point.sideJerk = change.sideRate
}
