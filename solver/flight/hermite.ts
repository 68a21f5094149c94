import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/**
 * Between its ends a step's speed is the quintic with their speeds, accelerations and jerks, altitude its integral, mach the cubic
 * with its values and rates. All about the END: e = 0 there, −1 at the beginning; a little beyond 0 they extrapolate.
 */
export function fitStep(w: Workspace, from: Float64Array, to: Float64Array): void {
  const S = w.numbers
  const dt = S[W.STEP]!
  const v1 = to[W.SPEED]!
  const a = to[W.ACCELERATION]! * dt
  const j = to[W.JERK]! * dt * dt
  const r0 = from[W.SPEED]! - v1 + a - 0.5 * j
  const r1 = from[W.ACCELERATION]! * dt - a + j
  const r2 = from[W.JERK]! * dt * dt - j
  const c5 = -(0.5 * r2 + 3 * r1 + 6 * r0)
  const c4 = 2 * c5 - r1 - 3 * r0
  const H = W.HERMITE
  S[H] = v1
  S[H + 1] = a
  S[H + 2] = 0.5 * j
  S[H + 3] = c4 - c5 - r0
  S[H + 4] = c4
  S[H + 5] = c5
}

export function fitMach(w: Workspace, from: Float64Array, to: Float64Array): void {
  const S = w.numbers
  const dt = S[W.STEP]!
  const b = to[W.MACH_RATE]! * dt
  const fall = from[W.MACH]! - to[W.MACH]!
  const c3 = from[W.MACH_RATE]! * dt + b + 2 * fall
  const H = W.MACH_HERMITE
  S[H] = to[W.MACH]!
  S[H + 1] = b
  S[H + 2] = c3 + fall + b
  S[H + 3] = c3
}

export function speedAt(S: Float64Array, e: number): number {
  const H = W.HERMITE
  return S[H]! + e * (S[H + 1]! + e * (S[H + 2]! + e * (S[H + 3]! + e * (S[H + 4]! + e * S[H + 5]!))))
}

/** Change of speed per e. */
export function pushAt(S: Float64Array, e: number): number {
  const H = W.HERMITE
  return S[H + 1]! + e * (2 * S[H + 2]! + e * (3 * S[H + 3]! + e * (4 * S[H + 4]! + e * 5 * S[H + 5]!)))
}

/** Altitude above that of the step's end. */
export function riseAt(S: Float64Array, e: number): number {
  const H = W.HERMITE
  const sum =
    S[H]! + e * (S[H + 1]! / 2 + e * (S[H + 2]! / 3 + e * (S[H + 3]! / 4 + e * (S[H + 4]! / 5 + (e * S[H + 5]!) / 6))))
  return S[W.STEP]! * e * sum
}

export function machAt(S: Float64Array, e: number): number {
  const H = W.MACH_HERMITE
  return S[H]! + e * (S[H + 1]! + e * (S[H + 2]! + e * S[H + 3]!))
}

export function machPushAt(S: Float64Array, e: number): number {
  const H = W.MACH_HERMITE
  return S[H + 1]! + e * (2 * S[H + 2]! + e * 3 * S[H + 3]!)
}
