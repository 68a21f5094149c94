import type { Craft, Lane } from './craft.ts'
import { cubicSlope } from './pieces.ts'
import { H, MASS, type Point, U, W } from './point.ts'

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
