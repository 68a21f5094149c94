import type { Plan } from './plan.ts'
import { earthProfile, type Profile } from './profile.ts'
import type { Workspace } from './workspace.ts'

/** The air of a body as the integrator takes it: the standard's profile, an exponential, or none. */
export function setAir(w: Workspace, plan: Pick<Plan, 'body' | 'launchAltitude'>, profile: Profile | null): void {
  const { air } = plan.body
  w.profile = null
  w.slowness0 = 0
  w.edge = Number.POSITIVE_INFINITY
  w.airKind = 'none'
  if (!air) return
  if (air.kind !== 'exponential') {
    w.profile = profile ?? (air.kind === 'profile' ? air.profile : earthProfile())
    w.segments = w.profile.air
    w.byKilometre = w.profile.byKilometre
    setLayer(w, 0, plan.launchAltitude)
    return
  }
  w.pressure0 = air.pressure
  w.density0 = air.density
  w.fall = 1 / air.scaleHeight
  if (air.soundSpeed > 0) w.slowness0 = 1 / air.soundSpeed
  if (plan.launchAltitude >= air.top) return
  w.airKind = 'exponential'
  w.edge = air.top
}

/**
 * Goes up from layer `from` of the profile to the one that holds an altitude [m], above the last one into the vacuum. In a loose flight
 * all of it is one layer, looked up by altitude; so is the table's layer always.
 */
function setLayer(w: Workspace, from: number, altitude: number): void {
  const { layers } = w.profile!
  const last = layers.length - 1
  let k = w.loose ? last : from
  while (k <= last && altitude >= layers[k]!.top) k++
  w.layer = k
  if (k > last) {
    leaveAir(w)
    return
  }
  const layer = layers[k]!
  w.edge = layer.top
  if (k === last || w.loose) {
    w.airKind = 'lookup'
    return
  }
  w.airKind = 'uniform'
  w.base = layer.bottom
  w.scale = layer.count / (layer.top - layer.bottom)
  w.firstSegment = layer.first
  w.segmentCount = layer.count
}

/** Crosses the top of the layer in hand. */
export function climbLayer(w: Workspace, altitude: number): void {
  if (w.profile) setLayer(w, w.loose ? w.layer : w.layer + 1, altitude)
  else leaveAir(w)
}

function leaveAir(w: Workspace): void {
  w.airKind = 'none'
  w.table = false
  w.edge = Number.POSITIVE_INFINITY
}
