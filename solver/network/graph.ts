import type { Expr, Id } from '../model/expr.ts'
import type { Model } from '../model/model.ts'
import { type Components, circleThrough, components, type Graph, graphOf } from './components.ts'
import { type Equality, equalities, type Overdetermined } from './equalities.ts'
import { eachReference, flightExpressions, targetExpressions } from './walk.ts'

/** Quantities that need one another, in the order in which they read; flights stand for the circle's passage through them. */
export interface Circle {
  readonly quantities: readonly Id[]
  readonly flights: readonly number[]
}

/** How the quantities hang together. Nothing in it but the numbering depends on the order in which a sheet is written. */
export interface Arrangement {
  /** What to work out after what: a quantity by its id, flight f as ~f. */
  readonly order: Int32Array
  /** One shortest circle of each knot of quantities that need one another. Not empty: the sheet cannot be worked out. */
  readonly circles: readonly Circle[]
  /** The levers in order of name. */
  readonly levers: readonly Id[]
  /** Words a quantity: bit l of the words from `reach[id * words]` is set where lever `levers[l]` reaches the quantity. */
  readonly reach: Uint32Array
  readonly words: number
  /** Levers that no target and no aim reads, in order of name. */
  readonly idle: readonly Id[]
  /** Levers that some aim reads and no target, in order of name. */
  readonly untested: readonly Id[]
  /** The `must equal to` targets without a tolerance, each with the lever that can answer for it. */
  readonly equalities: readonly Equality[]
  /** Groups of such targets that are more than the levers they share. */
  readonly overdetermined: readonly Overdetermined[]
  /** What each node (quantity, then flight) reads. */
  readonly reads: Graph
}

/** The levers that reach a quantity, as places in `arrangement.levers`. */
export function leversOf({ reach, words, levers }: Arrangement, id: Id): number[] {
  return levers.map((_, l) => l).filter(l => (reach[id * words + (l >> 5)]! >>> (l & 31)) & 1)
}

/** The facts that a quantity hangs on, itself apart, in order of id. */
export function factsOf(model: Model, { reads }: Arrangement, id: Id): Id[] {
  const seen = new Set([id])
  for (const node of seen) {
    for (let edge = reads.starts[node]!; edge < reads.starts[node + 1]!; edge++) seen.add(reads.targets[edge]!)
  }
  seen.delete(id)
  return [...seen].filter(node => model.quantities[node]?.role === 'fact').sort((a, b) => a - b)
}

/** The facts that some target or aim hangs on, in order of id. */
export function factsOfTargets(model: Model, { reads }: Arrangement): Id[] {
  const seen = new Set<number>()
  const values = [...model.targets.flatMap(targetExpressions), ...model.aims.flatMap(aim => aim.value ?? [])]
  eachReference(model, values, id => seen.add(id))
  for (const node of seen) {
    for (let edge = reads.starts[node]!; edge < reads.starts[node + 1]!; edge++) seen.add(reads.targets[edge]!)
  }
  return [...seen].filter(node => model.quantities[node]?.role === 'fact').sort((a, b) => a - b)
}

/** Finds who is worked out from whom, in time near linear in the size of the model. */
export function arrange(model: Model): Arrangement {
  const count = model.quantities.length
  const reads = readGraph(model)
  const parts = components(reads)
  const levers = leversByName(model)
  const words = (levers.length + 31) >> 5
  const reach = spread(reads, parts, levers, words)
  const tested = bits(model, model.targets.flatMap(targetExpressions), reach, words)
  const aims = model.aims.flatMap(aim => aim.value ?? [])
  const aimed = bits(model, aims, reach, words)
  const has = (set: Uint32Array, l: number) => ((set[l >> 5]! >>> (l & 31)) & 1) === 1
  return {
    order: parts.order.map(node => (node < count ? node : ~(node - count))),
    circles: circles(model, reads, parts),
    levers,
    reach: reach.subarray(0, count * words),
    words,
    idle: levers.filter((_, l) => !has(tested, l) && !has(aimed, l)),
    untested: levers.filter((_, l) => !has(tested, l) && has(aimed, l)),
    ...equalities(model, reads, id => reach.subarray(id * words, (id + 1) * words).some(word => word !== 0)),
    reads,
  }
}

function leversByName({ quantities }: Model): Id[] {
  const levers = [...quantities.keys()].filter(id => quantities[id]!.role === 'lever')
  return levers.sort((a, b) => (quantities[a]!.name < quantities[b]!.name ? -1 : 1))
}

function readGraph(model: Model): Graph {
  const { quantities, flights } = model
  const pairs: number[] = []
  quantities.forEach((quantity, id) => {
    if (quantity.role === 'flown') pairs.push(id, quantities.length + quantity.flight)
    else if (quantity.role !== 'lever') eachReference(model, [quantity.value], other => pairs.push(id, other))
  })
  flights.forEach((flight, place) => {
    const node = quantities.length + place
    eachReference(model, flightExpressions(model, flight), other => pairs.push(node, other))
  })
  return graphOf(quantities.length + flights.length, pairs)
}

/** The levers that reach each node, by one pass in evaluation order. */
function spread({ starts, targets }: Graph, { order }: Components, levers: readonly Id[], words: number): Uint32Array {
  const reach = new Uint32Array((starts.length - 1) * words)
  levers.forEach((id, l) => {
    reach[id * words + (l >> 5)]! |= 1 << (l & 31)
  })
  for (const node of order) {
    for (let edge = starts[node]!; edge < starts[node + 1]!; edge++) {
      const from = targets[edge]! * words
      for (let w = 0; w < words; w++) reach[node * words + w]! |= reach[from + w]!
    }
  }
  return reach
}

function bits(model: Model, roots: readonly Expr[], reach: Uint32Array, words: number): Uint32Array {
  const union = new Uint32Array(words)
  eachReference(model, roots, id => {
    for (let w = 0; w < words; w++) union[w]! |= reach[id * words + w]!
  })
  return union
}

function circles(model: Model, reads: Graph, parts: Components): Circle[] {
  const count = model.quantities.length
  const byName = (a: number, b: number) => (model.quantities[a]!.name < model.quantities[b]!.name ? -1 : 1)
  const first = new Int32Array(parts.count).fill(-1)
  for (let node = 0; node < count; node++) {
    const part = parts.of[node]!
    if (first[part] === -1 || byName(node, first[part]!) < 0) first[part] = node
  }
  const found: Circle[] = []
  for (const node of first) {
    const circle = node === -1 ? null : circleThrough(reads, parts, node)
    if (!circle) continue
    const flights = circle.filter(member => member >= count).map(member => member - count)
    found.push({ quantities: circle.filter(member => member < count), flights })
  }
  return found.sort((a, b) => byName(a.quantities[0]!, b.quantities[0]!))
}
