import { PLACE } from './places.ts'
import type { End, Workspace } from './workspace.ts'

/**
 * The coast above all air, in closed form: a straight orbit about the body's centre. With μ = g R², r = R + h and w = v² r / 2μ it
 * escapes where w ≥ 1; else 1/r_apo = (1 − w)/r, and the time there is √(a³/μ)(φ + sin φ), a = r / (2 (1 − w)), sin(φ/2) = √w,
 * which loses no digits near apoapsis. Puts apoapsis, its time since release and its energy; true where it escapes.
 */
export function coastToApoapsis(w: Workspace, end: End, figures: Float64Array, slopes: Float64Array): boolean {
  const { radius, gravity } = w
  const lanes = w.laneCount
  const mu = gravity * radius * radius
  const h = end.altitude
  const v = end.speed
  const r = radius + h
  const share = (v * v * r) / (2 * mu)
  const left = 1 - share
  const escapes = !(left > 0)
  // Geopotential height of the apoapsis, R − R²/r_apo, written without a difference of near numbers.
  figures[PLACE['apoapsis energy']] = (radius * h) / r + (v * v) / (2 * gravity)
  figures[PLACE.apoapsis] = escapes ? Number.POSITIVE_INFINITY : h + (r * share) / left
  const half = Math.asin(Math.sqrt(Math.min(1, share)))
  const axis = r / (2 * left)
  const period = Math.sqrt((axis / mu) * axis * axis)
  const coast = period * (2 * half + Math.sin(2 * half))
  figures[PLACE['apoapsis time']] = escapes ? Number.POSITIVE_INFINITY : end.time + coast
  if (!escapes) figures[PLACE['apoapsis speed']] = 0
  for (let lane = 0; lane < lanes; lane++) {
    const dh = w.lanes[lane]!.altitude
    const dv = w.lanes[lane]!.speed
    const push = dh / (r * r) + (v * dv) / mu
    slopes[PLACE['apoapsis energy'] * lanes + lane] = radius * radius * push
    if (escapes) continue
    slopes[PLACE.apoapsis * lanes + lane] = (r / left) ** 2 * push
    // δw / √w stays finite as v goes to 0.
    const shareOverRoot = 2 * Math.sqrt(r / (2 * mu)) * dv + (Math.sqrt(share) * dh) / r
    const byAxis = 3 * coast * axis * push
    slopes[PLACE['apoapsis time'] * lanes + lane] = byAxis + 2 * period * shareOverRoot * Math.sqrt(left)
  }
  return escapes
}
