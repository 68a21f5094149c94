import type { Expr, Id } from '../model/expr.ts'
import type { Model, Target } from '../model/model.ts'
import { type Graph, graphOf } from './components.ts'
import { matching } from './matching.ts'
import { eachReference, targetExpressions } from './walk.ts'

/** A `must equal to` without a tolerance (its place in `Model.targets`) and the lever found to answer for it: null where others need them all. */
export interface Equality {
  readonly target: number
  readonly lever: Id | null
}

/** Targets that must each be met exactly, more of them than the quantities (levers and figures) that they fix together. */
export interface Overdetermined {
  readonly targets: readonly number[]
  readonly quantities: readonly Id[]
}

/**
 * Pairs the exact targets with levers. Relations are met by quantities in a largest matching that begins with every figure paired with
 * its own relation: a target takes a figure, whose relation is then solved the other way for one of its inputs, and so on to a lever.
 * `free(id)` tells whether some lever reaches a quantity.
 */
export function equalities(
  model: Model,
  reads: Graph,
  free: (id: Id) => boolean,
): { equalities: Equality[]; overdetermined: Overdetermined[] } {
  const exact = exactTargets(model)
  if (exact.length === 0) return { equalities: [], overdetermined: [] }
  const { quantities } = model
  // Numbered by name, so that the pairing does not hang on the order in which the sheet is written.
  const byName = [...quantities.keys()].sort((a, b) => (quantities[a]!.name < quantities[b]!.name ? -1 : 1))
  const rights = byName.filter(free)
  const right = new Int32Array(quantities.length).fill(-1)
  rights.forEach((id, r) => {
    right[id] = r
  })
  const relations = rights.filter(id => quantities[id]!.role !== 'lever')
  const pairs: number[] = []
  relations.forEach((id, left) => {
    pairs.push(left, right[id]!)
    eachInput(model, reads, id, input => right[input] !== -1 && pairs.push(left, right[input]!))
  })
  exact.forEach((target, e) => {
    eachReference(model, targetExpressions(model.targets[target]!), id => {
      if (right[id] !== -1) pairs.push(relations.length + e, right[id]!)
    })
  })
  const graph = graphOf(relations.length + exact.length, pairs)
  const start = new Int32Array(relations.length + exact.length).fill(-1)
  relations.forEach((id, left) => {
    start[left] = right[id]!
  })
  const partner = matching(graph, rights.length, start)
  const relationOf = new Map(relations.map((id, left) => [id, left]))
  const found = exact.map((target, e) => {
    let at = partner[relations.length + e]!
    while (at !== -1 && relationOf.has(rights[at]!)) at = partner[relationOf.get(rights[at]!)!]!
    return { target, lever: at === -1 ? null : rights[at]! }
  })
  return { equalities: found, overdetermined: tooMany(graph, partner, relations.length, exact, rights) }
}

/** The exact targets among the musts, in an order of their own content. */
function exactTargets(model: Model): number[] {
  const text = (target: Target) =>
    JSON.stringify(target, (_, value: Expr | null) =>
      value && typeof value === 'object' && value.op === 'ref' ? model.quantities[value.id]!.name : value,
    )
  const keys = new Map<number, string>()
  model.targets.forEach((target, place) => {
    const { limit } = target
    if (target.level === 'must' && limit.kind === 'equal to' && !limit.tolerance) keys.set(place, text(target))
  })
  return [...keys.keys()].sort((a, b) => (keys.get(a)! < keys.get(b)! ? -1 : 1))
}

/** What a quantity's relation reads: what its flight reads where it is flown. */
function eachInput({ quantities }: Model, { starts, targets }: Graph, id: Id, see: (id: Id) => void): void {
  const node = quantities[id]!.role === 'flown' ? targets[starts[id]!]! : id
  for (let edge = starts[node]!; edge < starts[node + 1]!; edge++) see(targets[edge]!)
}

/** Each group that an unpaired target shares by alternating paths: the part of the structure with more relations than unknowns. */
function tooMany(
  { starts, targets }: Graph,
  partner: Int32Array,
  relations: number,
  exact: readonly number[],
  rights: readonly Id[],
): Overdetermined[] {
  const back = new Map<number, number>()
  partner.forEach((right, left) => {
    if (right !== -1) back.set(right, left)
  })
  const groups: Overdetermined[] = []
  const seen = new Set<number>()
  for (let left = relations; left < partner.length; left++) {
    if (partner[left] !== -1 || seen.has(left)) continue
    const reached = new Set([left])
    const fixed = new Set<Id>()
    for (const node of reached) {
      for (let edge = starts[node]!; edge < starts[node + 1]!; edge++) {
        const right = targets[edge]!
        fixed.add(rights[right]!)
        reached.add(back.get(right)!)
      }
    }
    for (const node of reached) seen.add(node)
    const members = [...reached].filter(node => node >= relations).map(node => exact[node - relations]!)
    groups.push({ targets: members.sort((a, b) => a - b), quantities: [...fixed].sort((a, b) => a - b) })
  }
  return groups
}
