import type { Statement } from '../../grammar/tree.ts'
import type { Expr, Quantity, Target } from '../../solver/index.ts'
import { type Compiled, compileSheet } from '../open/compiled.ts'
import { openTree, type Reading } from '../open/open.ts'
import type { Info } from '../open/opened.ts'
import type { Load } from '../open/table.ts'
import type { Moved } from './block.ts'

/** A sheet compiled for one choice of bodies, its moved limits standing as facts; or why it cannot be. */
export type Structure = { readonly compiled: Compiled } | { readonly fault: string }

/** The name of the fact that stands for a moved limit. No name of a sheet has a word that begins with a digit. */
export function limitFact(target: number, end: number): string {
  return `limit ${target} ${end}`
}

/** Most structures kept: a choice of bodies seldom has more. */
const MOST_KEPT = 64

/** Makes structures and keeps them. */
export class Structures {
  private readonly reading: Reading
  private readonly load: Load | null
  private readonly kept = new Map<string, Structure>()

  constructor(reading: Reading, load: Load | null) {
    this.reading = reading
    this.load = load
  }

  /** `bodies`: flight to body, those that vary. `moved`: what the block's columns move. */
  structure(block: number, moved: readonly Moved[], bodies: ReadonlyMap<string, string>): Structure {
    const key = JSON.stringify([block, ...bodies])
    const known = this.kept.get(key)
    if (known) return known
    const made = this.make(moved, bodies)
    const oldest = this.kept.size < MOST_KEPT ? undefined : this.kept.keys().next().value
    if (oldest !== undefined) this.kept.delete(oldest)
    this.kept.set(key, made)
    return made
  }

  private make(moved: readonly Moved[], bodies: ReadonlyMap<string, string>): Structure {
    const reading = bodies.size === 0 ? this.reading : openTree(this.tree(bodies), this.load)
    const wrong = reading.opened.problems.find(problem => problem.severity === 'error')
    if (wrong) return { fault: wrong.mend === null ? wrong.message : `${wrong.message} ${wrong.mend}` }
    const targets = moved.flatMap(each => (each.kind === 'limit' ? [each.target] : []))
    return { compiled: compileSheet(targets.length === 0 ? reading : withMovedLimits(reading, targets)) }
  }

  private tree(bodies: ReadonlyMap<string, string>) {
    const statements = this.reading.statements.map((statement): Statement => {
      const body = statement.kind === 'flight' ? bodies.get(statement.name.text) : undefined
      return statement.kind === 'flight' && body !== undefined
        ? { ...statement, body: { ...statement.body, text: body } }
        : statement
    })
    return { statements, problems: [], lost: [] }
  }
}

/** The sheet with the limits of some targets as facts, which a variant then sets. */
function withMovedLimits(reading: Reading, moved: readonly number[]): Reading {
  const { opened } = reading
  const quantities: Quantity[] = [...opened.model.quantities]
  const info: Info[] = [...opened.info]
  const ids = new Map(opened.ids)
  const targets = opened.model.targets.map((target, place): Target => {
    if (!moved.includes(place)) return target
    const told = opened.targets[place]!
    const fact = (end: number): Expr => {
      const name = limitFact(place, end)
      const id = quantities.push({ role: 'fact', name, value: { op: 'const', value: 1 } }) - 1
      const { dimension, unit, span } = told
      info.push({ name, dimension, unit, span, ...HIDDEN })
      ids.set(name, id)
      return { op: 'ref', id }
    }
    return { ...target, limit: movedLimit(target.limit, fact) }
  })
  return { ...reading, opened: { ...opened, model: { ...opened.model, quantities, targets }, info, ids } }
}

const HIDDEN = { description: null, error: null, lever: null, figure: null, hidden: true, hangs: false } as const

function movedLimit(limit: Target['limit'], fact: (end: number) => Expr): Target['limit'] {
  if (limit.kind === 'within') return { kind: 'within', from: fact(0), to: fact(1) }
  if (limit.kind !== 'equal to') return { kind: limit.kind, value: fact(0) }
  const value = fact(0)
  const { tolerance } = limit
  // A tolerance in % is a share of the value it belongs to, which has moved.
  const share = tolerance?.op === 'mul' && tolerance.b.op === 'abs' && tolerance.b.a === limit.value
  return { kind: 'equal to', value, tolerance: share ? { ...tolerance, b: { op: 'abs', a: value } } : tolerance }
}
