import { airInto } from './air.ts'
import type { Craft } from './craft.ts'
import { cubic, cubicSlope } from './pieces.ts'
import { ANGLE, BACK_LOSS, DRAG_LOSS, H, HEAT, MASS, type Point, U, W } from './point.ts'

/**
 * The rates of a state, in a plane through the body's centre: ḣ = u, u̇ = (F − D)ᵤ/m + w²/r − g, ẇ = (F − D)_w/m − u w/r, angle rate w/r,
 * with g = g_s (R/r)², F = T (1 − β p), never below 0, along the velocity (or at the pitch given), D = ½ ρ V² (A c(mach) + canopies) against it;
 * mass flow T/c. On the rail the motion keeps to it, also where it slides back, and thrust points up it; on the pad nothing moves. Heating by Sutton and Graves, NASA TR R-376 (1971): K √(ρ/Rₙ) V³.
 * And how all of these change along the motion, but where `trends` is false. `march` has the same equations for the stages of a step.
 */
export function complete(craft: Craft, point: Point, trends = true): void {
  const { state, rates } = point
  const h = state[H]!
  const u = state[U]!
  const w = state[W]!
  const inverse = 1 / state[MASS]!
  airInto(craft.air, craft.layer, point)
  const rho = point.density
  const near = 1 / (craft.radius + h)
  const share = craft.radius * near
  const g = craft.surfaceGravity * share * share
  direct(craft, point, u, w)
  const v = point.speed
  thrust(craft, point)
  drag(craft, point, v)
  const dynamic = 0.5 * rho * v * v
  const push = point.vacuum * point.share * inverse
  const slow = dynamic * point.area * inverse
  const back = point.back * inverse
  point.gravity = g
  point.nearness = near
  point.push = push
  point.drag = slow
  point.q = dynamic
  rates[MASS] = -point.flow
  rates[BACK_LOSS] = back
  craft.evaluations++
  if (craft.mode === 'pad') {
    stand(craft, point)
    return
  }
  rates[H] = u
  rates[ANGLE] = w * near
  rates[DRAG_LOSS] = slow
  let au: number
  let aw = 0
  let feltU = 0
  let feltW = 0
  const guided = craft.pitch !== null && craft.burning && craft.mode === 'free'
  const side = w * near
  if (craft.mode === 'rail') {
    const along = push - craft.direction * slow - g * craft.sine
    au = along * craft.sine
    aw = along * craft.cosine
  } else if (guided) {
    feltU = push * point.du - slow * point.eu
    feltW = push * point.dw - slow * point.ew
    au = feltU + w * side - g
    aw = feltW - u * side
  } else {
    au = (push - slow) * point.eu + w * side - g
    aw = (push - slow) * point.ew - u * side
  }
  rates[U] = au
  rates[W] = aw
  const heat = craft.heating !== 0 && rho > 0 ? craft.heating * Math.sqrt(rho) * v * v * Math.abs(v) : 0
  point.heat = heat
  rates[HEAT] = heat
  if (!trends) {
    if (guided) point.felt = Math.sqrt(feltU * feltU + feltW * feltW)
    return
  }

  // Along the motion.
  const thinning = point.densitySlope * u
  const lost = craft.clipped || !craft.burning ? 0 : craft.beta * point.pressureSlope * u
  const lighter = point.flow * inverse
  const pushRate = (point.vacuumByTime * point.share - point.vacuum * lost) * inverse + push * lighter
  const speedRate = au * point.eu + aw * point.ew
  const machRate = speedRate * point.slowness + v * point.slownessSlope * u
  const growth = craft.fillTime === 0 ? 0 : (craft.canopyTo - craft.canopyFrom) / craft.fillTime
  const areaRate = craft.area * point.coefficientSlope * machRate + growth
  const qRate = (0.5 * thinning * v + rho * speedRate) * v
  const slowRate = (qRate * point.area + dynamic * areaRate) * inverse + slow * lighter
  const lostNow = craft.clipped ? 1 : craft.beta * point.pressure
  point.speedRate = speedRate
  point.machRate = machRate
  point.qRate = qRate
  point.pushRate = pushRate
  point.dragTrend = slowRate
  point.backTrend = craft.burning ? (point.vacuumByTime * lostNow + point.vacuum * lost) * inverse + back * lighter : 0
  point.heatRate = heat > 0 ? heat * ((0.5 * thinning) / rho + (3 * speedRate) / v) : 0
  const fall = -2 * g * near * u
  if (craft.mode === 'rail') {
    const along = push - craft.direction * slow
    const change = pushRate - craft.direction * slowRate
    point.felt = Math.abs(along)
    point.feltRate = along < 0 ? -change : change
    point.upJerk = (change - fall * craft.sine) * craft.sine
    point.sideJerk = (change - fall * craft.sine) * craft.cosine
    return
  }
  const turns = v > 0 && !craft.vertical
  const turnU = turns ? (au - point.eu * speedRate) / v : 0
  const turnW = turns ? (aw - point.ew * speedRate) / v : 0
  const upTide = 2 * side * aw - side * side * u - fall
  const sideTide = u * u * side * near - near * (w * au + u * aw)
  if (guided) {
    const swing = cubicSlope(craft.pitch!, craft.pitchPiece, point.time + craft.hold)
    const changeU = pushRate * point.du + push * point.dw * swing - slowRate * point.eu - slow * turnU
    const changeW = pushRate * point.dw - push * point.du * swing - slowRate * point.ew - slow * turnW
    const felt = Math.sqrt(feltU * feltU + feltW * feltW)
    point.felt = felt
    point.feltRate = felt > 0 ? (feltU * changeU + feltW * changeW) / felt : pushRate - slowRate
    point.upJerk = changeU + upTide
    point.sideJerk = changeW + sideTide
    return
  }
  const along = push - slow
  const change = pushRate - slowRate
  point.felt = Math.abs(along)
  point.feltRate = along < 0 ? -change : change
  point.upJerk = change * point.eu + along * turnU + upTide
  point.sideJerk = change * point.ew + along * turnW + sideTide
}

/** On the pad only the propellant goes. */
function stand(craft: Craft, point: Point): void {
  const { rates, gravity } = point
  const inverse = 1 / point.state[MASS]!
  const lighter = point.flow * inverse
  rates[H] = 0
  rates[U] = 0
  rates[W] = 0
  rates[ANGLE] = 0
  rates[DRAG_LOSS] = 0
  rates[HEAT] = 0
  const lost = craft.clipped ? 1 : craft.beta * point.pressure
  point.heat = 0
  point.felt = gravity
  point.pushRate = point.vacuumByTime * point.share * inverse + point.push * lighter
  point.backTrend = craft.burning ? point.vacuumByTime * lost * inverse + point.back * inverse * lighter : 0
  point.dragTrend = 0
  point.speedRate = 0
  point.feltRate = 0
  point.qRate = 0
  point.machRate = 0
  point.heatRate = 0
  point.upJerk = 0
  point.sideJerk = 0
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
    // Also where the thrust is zero: a curve may begin and end there.
    const slope = cubicSlope(shape, craft.shapePiece, cap * since)
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
