import type { Expr, Id } from '../model/expr.ts'
import type { Model, Target } from '../model/model.ts'
import { Builder, finish, PHASE } from './builder.ts'
import { type FlightDraft, flightCode, placeFlight, wantedFlights } from './flights.ts'
import { type Arrangement, arrange } from './graph.ts'
import { type Draft, lower } from './lower.ts'
import type { Parts } from './node.ts'
import type { AimSlots, Program, TargetSlots } from './program.ts'
import { reachOf } from './reach.ts'
import { OP, type Slot } from './tape.ts'
import { bendingOf } from './uneven.ts'

/**
 * Compiles a model, in time near linear in its size. `extras` are further expressions to be worked out along with it.
 * The model must be free of circles (`arrange` tells them); one that is not is a fault of the caller.
 */
export function compile(model: Model, parts: Parts, extras: readonly Expr[] = [], known?: Arrangement): Program {
  const arrangement = known ?? arrange(model)
  if (arrangement.circles.length > 0) throw new Error('a model with circles cannot be compiled')
  const main = new Builder()
  const draft: Draft = { model, main, slotOf: new Int32Array(model.quantities.length).fill(-1), bodies: new Map() }
  const flights = new Map<number, FlightDraft>()
  let owner = new Int32Array(64).fill(-1)
  let owned = 0
  const own = (id: Id): void => {
    if (main.length > owner.length) owner = wider(owner, 2 * main.length)
    owner.fill(id, owned, main.length)
    owned = main.length
  }
  for (const step of arrangement.order) {
    if (step < 0) {
      // Of a wrong sheet a flight may be missing before one that is sound.
      if (!model.flights[~step]) continue
      flights.set(~step, placeFlight(draft, parts, ~step))
      own(-1)
      continue
    }
    const slot = placeQuantity(draft, flights, step)
    draft.slotOf[step] = slot
    own(step)
    // A flight's output belongs to the quantity that stands for it.
    if (owner[slot] === -1) owner[slot] = step
  }
  const targets = model.targets.map(target => placeTarget(draft, target))
  const aims = model.aims.map(aim => ({ sense: aim.sense, value: aim.value ? lower(draft, aim.value) : -1 }))
  const more = extras.map(expr => lower(draft, expr))
  own(-1)

  const { tape, moved, algebra, flown } = finish(main)
  const to = (slot: Slot): Slot => (slot === -1 ? -1 : moved[slot]!)
  const owners = new Int32Array(tape.length)
  for (let slot = 0; slot < tape.length; slot++) owners[moved[slot]!] = owner[slot]!
  const asked = targets.flatMap(({ value, low, high, tolerance }) => [value, low, high, tolerance])
  const wanted = wantedFlights(main, [...asked, ...aims.map(aim => aim.value)], flights)
  const placed = [...flights].sort((x, y) => x[1].at - y[1].at)
  const flightPlace = new Int32Array(model.flights.length)
  placed.forEach(([flight], place) => {
    flightPlace[flight] = place
  })
  const levers = arrangement.levers
  const leverSlots = Int32Array.from(levers, id => to(draft.slotOf[id]!))
  const unreached = placed.map(([flight, it]) => flightCode(it, tape, moved, wanted.get(flight) ?? null))
  const { reach, sound, words, flights: code } = reachOf(tape, leverSlots, unreached)
  const asking = targets.map(({ level, kind, value, low, high, tolerance }): TargetSlots => {
    return { level, kind, value: to(value), low: to(low), high: to(high), tolerance: to(tolerance) }
  })
  const aiming = aims.map((aim): AimSlots => ({ sense: aim.sense, value: to(aim.value) }))
  return {
    model,
    parts,
    arrangement,
    tape,
    algebra,
    flown,
    slots: draft.slotOf.map(to),
    owner: owners,
    levers,
    leverSlots,
    flights: code,
    flightPlace,
    targets: asking,
    aims: aiming,
    extras: Int32Array.from(more, to),
    reach,
    soundReach: sound,
    words,
    bending: bendingOf({ tape, flights: code, flightPlace }, asking, aiming, flown),
  }
}

function wider(array: Int32Array, length: number): Int32Array<ArrayBuffer> {
  const grown = new Int32Array(length).fill(-1)
  grown.set(array)
  return grown
}

function placeQuantity(draft: Draft, flights: ReadonlyMap<number, FlightDraft>, id: Id): Slot {
  const quantity = draft.model.quantities[id]!
  const { main } = draft
  switch (quantity.role) {
    case 'lever':
      return main.leaf(PHASE.algebra, true)
    case 'fact': {
      const value = lower(draft, quantity.value)
      return main.own(OP.fact, value, id, main.phase[value]!, main.free[value]!)
    }
    case 'figure':
      return lower(draft, quantity.value)
    case 'flown': {
      const flight = flights.get(quantity.flight)!
      const output = flight.node.outputs.findIndex(({ name }) => name === quantity.output)
      if (output === -1) throw new Error(`a flight gives no ${quantity.output}`)
      return flight.outputs[output]!
    }
  }
}

function placeTarget(draft: Draft, { level, value, limit }: Target): TargetSlots {
  const at = lower(draft, value)
  if (limit.kind === 'within') {
    const low = lower(draft, limit.from)
    return { level, kind: 'within', value: at, low, high: lower(draft, limit.to), tolerance: -1 }
  }
  const end = lower(draft, limit.value)
  if (limit.kind === 'at least') return { level, kind: 'at least', value: at, low: end, high: -1, tolerance: -1 }
  if (limit.kind === 'at most') return { level, kind: 'at most', value: at, low: -1, high: end, tolerance: -1 }
  if (limit.kind === 'equal to' && limit.tolerance) {
    return { level, kind: 'equal within', value: at, low: end, high: end, tolerance: lower(draft, limit.tolerance) }
  }
  return { level, kind: 'equal to', value: at, low: end, high: end, tolerance: -1 }
}
