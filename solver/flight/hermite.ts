import type { End, Workspace } from './workspace.ts'

/**
 * Between its ends a step's speed is the quintic with their speeds, accelerations and jerks, altitude its integral, mach the cubic
 * with its values and rates. All about the END: e = 0 there, −1 at the beginning; a little beyond 0 they extrapolate.
 */
export function fitStep(w: Workspace, from: End, to: End): void {
  const dt = w.step
  const a = to.acceleration * dt
  const j = to.jerk * dt * dt
  const r0 = from.speed - to.speed + a - 0.5 * j
  const r1 = from.acceleration * dt - a + j
  const r2 = from.jerk * dt * dt - j
  const c5 = -(0.5 * r2 + 3 * r1 + 6 * r0)
  const c4 = 2 * c5 - r1 - 3 * r0
  const fit = w.speedFit
  fit[0] = to.speed
  fit[1] = a
  fit[2] = 0.5 * j
  fit[3] = c4 - c5 - r0
  fit[4] = c4
  fit[5] = c5
}

export function fitMach(w: Workspace, from: End, to: End): void {
  const dt = w.step
  const b = to.machRate * dt
  const fall = from.mach - to.mach
  const c3 = from.machRate * dt + b + 2 * fall
  const fit = w.machFit
  fit[0] = to.mach
  fit[1] = b
  fit[2] = c3 + fall + b
  fit[3] = c3
}

export function speedAt({ speedFit: c }: Workspace, e: number): number {
  return c[0]! + e * (c[1]! + e * (c[2]! + e * (c[3]! + e * (c[4]! + e * c[5]!))))
}

/** Change of speed per e. */
export function pushAt({ speedFit: c }: Workspace, e: number): number {
  return c[1]! + e * (2 * c[2]! + e * (3 * c[3]! + e * (4 * c[4]! + e * 5 * c[5]!)))
}

/** Altitude above that of the step's end. */
export function riseAt({ speedFit: c, step }: Workspace, e: number): number {
  return step * e * (c[0]! + e * (c[1]! / 2 + e * (c[2]! / 3 + e * (c[3]! / 4 + e * (c[4]! / 5 + (e * c[5]!) / 6)))))
}

export function machAt({ machFit: c }: Workspace, e: number): number {
  return c[0]! + e * (c[1]! + e * (c[2]! + e * c[3]!))
}

export function machPushAt({ machFit: c }: Workspace, e: number): number {
  return c[1]! + e * (2 * c[2]! + e * 3 * c[3]!)
}

/** Change of `machPushAt` per e. */
export function machBendAt({ machFit: c }: Workspace, e: number): number {
  return 2 * c[2]! + 6 * e * c[3]!
}
