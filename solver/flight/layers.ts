import type { Plan } from './plan.ts'
import { earthProfile, type Profile } from './profile.ts'
import type { Workspace } from './workspace.ts'
import * as W from './workspace.ts'

/** The air of a body as the integrator takes it: the standard's profile, an exponential, or none. */
export function setAir(w: Workspace, plan: Plan, profile: Profile | null): void {
  const S = w.numbers
  const { air } = plan.body
  w.profile = null
  S[W.SLOWNESS_0] = 0
  S[W.EDGE] = Number.POSITIVE_INFINITY
  if (!air) w.flags[W.AIR] = W.NO_AIR
  else if (air.kind === 'us76') {
    w.profile = profile ?? earthProfile()
    w.air = w.profile.air
    w.byKilometre = w.profile.byKilometre
    setLayer(w, 0, plan.launchAltitude)
  } else {
    S[W.PRESSURE_0] = air.pressure
    S[W.DENSITY_0] = air.density
    S[W.FALL] = 1 / air.scaleHeight
    if (air.soundSpeed > 0) S[W.SLOWNESS_0] = 1 / air.soundSpeed
    w.flags[W.AIR] = plan.launchAltitude < air.top ? W.EXPONENTIAL : W.NO_AIR
    if (plan.launchAltitude < air.top) S[W.EDGE] = air.top
  }
}

/**
 * Goes up from layer `k` of the profile to the one that holds an altitude [m], above the last one into the vacuum. In a loose flight all
 * of it is one layer, looked up by altitude; so is the table's layer always.
 */
export function setLayer(w: Workspace, from: number, altitude: number): void {
  const S = w.numbers
  const I = w.flags
  const { layers } = w.profile!
  const last = layers.length - 1
  let k = I[W.LOOSE] === 1 ? last : from
  while (k <= last && altitude >= layers[k]!.top) k++
  I[W.LAYER] = k
  if (k > last) {
    leaveAir(w)
    return
  }
  const layer = layers[k]!
  S[W.EDGE] = layer.top
  if (k === last || I[W.LOOSE] === 1) {
    I[W.AIR] = W.LOOKUP
    return
  }
  I[W.AIR] = W.UNIFORM
  S[W.BASE] = layer.bottom
  S[W.SCALE] = layer.count / (layer.top - layer.bottom)
  I[W.FIRST] = layer.first
  I[W.COUNT] = layer.count
}

/** Crosses the top of the layer in hand. */
export function climbLayer(w: Workspace, altitude: number): void {
  if (w.profile) setLayer(w, w.flags[W.LAYER]! + 1, altitude)
  else leaveAir(w)
}

function leaveAir(w: Workspace): void {
  w.flags[W.AIR] = W.NO_AIR
  w.flags[W.TABLE] = 0
  w.numbers[W.EDGE] = Number.POSITIVE_INFINITY
}
