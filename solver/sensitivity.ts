import type { Id, Model } from './model/model.ts'
import {
  compile,
  factsOfTargets,
  type Parts,
  type Program,
  type State,
  start,
  type TargetSlots,
} from './network/index.ts'

/** Facts that are moved in one go: each has a lane of slopes on every slot. */
const BATCH = 48

/** A sheet compiled once more with some of its facts free, so that its figures have exact slopes by them. */
export interface Probe {
  readonly program: Program
  /** The quantities whose slopes are taken from it. */
  readonly ids: readonly Id[]
}

/** Probes for all levers and all facts that a target hangs on. */
export function probesOf({ model, arrangement, parts }: Program): readonly Probe[] {
  const levers = [...model.quantities.keys()].filter(id => model.quantities[id]!.role === 'lever')
  const facts = factsOfTargets(model, arrangement)
  const batches: Id[][] = []
  for (let at = 0; at < facts.length; at += BATCH) batches.push(facts.slice(at, at + BATCH))
  if (batches.length === 0) batches.push([])
  return batches.map((batch, place) => probeOf(model, parts, batch, place === 0 ? levers : []))
}

function probeOf(model: Model, parts: Parts, facts: readonly Id[], levers: readonly Id[]): Probe {
  const freed = new Set(facts)
  const quantities = model.quantities.map((quantity, id) =>
    freed.has(id)
      ? {
          role: 'lever' as const,
          name: quantity.name,
          range: { from: 0, to: 0, settings: null, inward: (x: number) => x },
        }
      : quantity,
  )
  return { program: compile({ ...model, quantities }, parts), ids: [...levers, ...facts] }
}

/** How the targets move with levers and facts at one point. */
export interface Sensitivities {
  readonly ids: readonly Id[]
  /** By target, then by `ids`: slopes of its value, and of its room (the slack to the nearest limit), SI per SI. NaN: no value. */
  readonly values: readonly Float64Array[]
  readonly rooms: readonly Float64Array[]
  /** Flights' worth of work. */
  readonly work: number
}

/** Exact slopes of every target at the settings `x` of the free levers of `state`. */
export function sensitivitiesAt(probes: readonly Probe[], state: State, x: Float64Array): Sensitivities {
  const count = state.program.targets.length
  const ids: Id[] = []
  const values: number[][] = Array.from({ length: count }, () => [])
  const rooms: number[][] = Array.from({ length: count }, () => [])
  let work = 0
  for (const probe of probes) {
    const at = open(probe, state, x)
    work += at.work
    const lanes = probe.ids.map(id => [...at.free].findIndex(lever => at.program.levers[lever] === id))
    ids.push(...probe.ids)
    at.program.targets.forEach((slots, t) => {
      const value = at.slopesAt(slots.value).slice()
      const room = roomSlopes(at, slots)
      for (const lane of lanes) {
        values[t]!.push(value[lane]!)
        rooms[t]!.push(room[lane]!)
      }
    })
  }
  return {
    ids,
    values: values.map(each => Float64Array.from(each)),
    rooms: rooms.map(each => Float64Array.from(each)),
    work,
  }
}

/** The probe's own state at the same facts and settings, worked out with slopes. */
function open({ program, ids }: Probe, state: State, x: Float64Array): State {
  const at = start(program)
  const own = state.program
  const lever = new Map(own.levers.map((id, l) => [id, l]))
  const settings = new Map(own.levers.map((id, l) => [id, state.pinned(l)]))
  state.free.forEach((l, lane) => {
    settings.set(own.levers[l]!, x[lane]!)
  })
  program.model.quantities.forEach((quantity, id) => {
    if (quantity.role === 'fact' && !Number.isNaN(state.overrides[own.slots[id]!]!)) at.setFact(id, state.valueOf(id))
  })
  const asked = new Set(ids)
  for (const id of program.levers) if (!asked.has(id)) at.pin(id, settings.get(id)!)
  const point = Float64Array.from(at.free, l => {
    const id = program.levers[l]!
    return lever.has(id) ? settings.get(id)! : state.valueOf(id)
  })
  at.evaluate(point, { accuracy: 'tight', slopes: true, scope: 'wanted' })
  return at
}

/** Slopes of the slack to the limit that is nearest, or past. */
function roomSlopes(at: State, { value, low, high, tolerance }: TargetSlots): Float64Array {
  const slopes = at.slopesAt(value).slice()
  const x = at.values[value]!
  const spare = (slot: number): number => (slot === -1 ? 0 : at.values[slot]!)
  const ends: { slot: number; side: 1 | -1; room: number }[] = []
  if (low !== -1) ends.push({ slot: low, side: -1, room: x - spare(low) + spare(tolerance) })
  if (high !== -1) ends.push({ slot: high, side: 1, room: spare(high) - x + spare(tolerance) })
  const nearest = ends.reduce((best, each) => (each.room < best.room ? each : best))
  const limit = at.slopesAt(nearest.slot)
  const wide = tolerance === -1 ? null : at.slopesAt(tolerance)
  return slopes.map((slope, lane) => nearest.side * (limit[lane]! - slope) + (wide?.[lane] ?? 0))
}
