import type { Condition, Expression } from '../../grammar/tree.ts'
import { circleThrough, components, graphOf } from '../../solver/index.ts'
import { figureNamed, PARACHUTE_FIGURES } from './figures.ts'
import type { Declared, FlightStatement, Scope } from './scope.ts'
import { slotsByName } from './slots.ts'

/** Calls `visit` for every name that an expression reads: references and called tables. Nesting is limited by the parser. */
export function walkNames(
  expression: Expression,
  visit: (name: string, of: string | null, called: boolean) => void,
): void {
  switch (expression.kind) {
    case 'number':
      return
    case 'reference':
      visit(expression.name.text, expression.of?.text ?? null, false)
      return
    case 'call':
      visit(expression.name.text, expression.of?.text ?? null, true)
      for (const arg of expression.args) walkNames(arg, visit)
      return
    case 'sign':
      walkNames(expression.arg, visit)
      return
    case 'binary':
      walkNames(expression.left, visit)
      walkNames(expression.right, visit)
      return
    case 'if':
      walkCondition(expression.test, visit)
      walkNames(expression.yes, visit)
      walkNames(expression.no, visit)
  }
}

function walkCondition(condition: Condition, visit: Parameters<typeof walkNames>[1]): void {
  if (condition.kind === 'not') walkCondition(condition.arg, visit)
  else if (condition.kind === 'compare') {
    walkNames(condition.left, visit)
    walkNames(condition.right, visit)
  } else {
    walkCondition(condition.left, visit)
    walkCondition(condition.right, visit)
  }
}

/** Shows the declarations that one reads directly, as often as it does. A flight reads the quantities that fill its slots by name. */
export function eachRead(declared: Declared, scope: Scope, see: (read: Declared) => void): void {
  const visit = (name: string, of: string | null, called: boolean): void => {
    const read = readBy(name, of, called, scope)
    if (read) see(read)
  }
  for (const expression of expressionsOf(declared)) walkNames(expression, visit)
  if (declared.kind === 'flight') {
    for (const name of takenByName(declared)) {
      const own = scope.names.get(name)
      if (own) see(own)
    }
    const body = scope.names.get(declared.body.text)
    if (body?.kind === 'body') see(body)
  }
}

/** The declaration that a name in an expression reads, if it is one of the sheet's. */
export function readBy(name: string, of: string | null, called: boolean, scope: Scope): Declared | undefined {
  if (of !== null) {
    const owner = scope.names.get(of)
    if (owner && (owner.kind === 'flight' || owner.kind === 'body')) return owner
    // A figure of a stage or parachute.
    return scope.flights.find(flight => flight.parts.some(part => part.name.text === of))
  }
  const own = scope.names.get(name)
  if (own) return own
  if (called) {
    // An air function of the only flight's body.
    const body = scope.flights.length === 1 ? scope.names.get(scope.flights[0]!.body.text) : undefined
    return body?.kind === 'body' ? body : undefined
  }
  const flown = figureNamed(name) ?? PARACHUTE_FIGURES.find(figure => figure.name === name)
  return flown && scope.flights.length === 1 ? scope.flights[0] : undefined
}

function expressionsOf(declared: Declared): readonly Expression[] {
  switch (declared.kind) {
    case 'fact':
    case 'figure':
      return [declared.value]
    case 'lever':
      return declared.step ? [declared.from, declared.to, declared.step] : [declared.from, declared.to]
    case 'body':
      return declared.slots.map(slot => slot.value)
    case 'flight':
      return [...declared.slots, ...declared.parts.flatMap(part => part.slots)].map(slot => slot.value)
    case 'table':
      return []
  }
}

/** Slot names that a flight takes from the sheet's quantities: those not written in its block. */
function takenByName(flight: FlightStatement): readonly string[] {
  const written = new Set(flight.slots.map(slot => slot.name.text))
  const staged = flight.parts.some(part => part.kind === 'stage')
  return slotsByName(staged)
    .map(slot => slot.name)
    .filter(name => !written.has(name))
}

/** Declarations so that each comes after all it reads; one shortest circle of each knot of those that need one another; and all that are in such a knot. */
export interface DeclarationOrder {
  readonly order: readonly Declared[]
  readonly circles: readonly (readonly Declared[])[]
  readonly knotted: ReadonlySet<Declared>
}

export function arrangeDeclarations(scope: Scope): DeclarationOrder {
  const nodes = [...scope.names.values()]
  const place = new Map<Declared, number>()
  for (const declared of nodes) place.set(declared, place.size)
  const pairs: number[] = []
  const readsItself = new Set<number>()
  nodes.forEach((declared, index) => {
    eachRead(declared, scope, read => {
      const other = place.get(read)!
      pairs.push(index, other)
      if (other === index) readsItself.add(index)
    })
  })
  const graph = graphOf(nodes.length, pairs)
  const parts = components(graph)
  const circles: Declared[][] = []
  const told = new Set<number>()
  const knotted = new Set<Declared>()
  const size = new Int32Array(parts.count)
  for (const part of parts.of) size[part]!++
  for (const [index, declared] of nodes.entries()) {
    const part = parts.of[index]!
    const ring = size[part]! > 1 || told.has(part) || readsItself.has(index)
    if (!ring) continue
    knotted.add(declared)
    if (told.has(part)) continue
    told.add(part)
    circles.push((circleThrough(graph, parts, index) ?? [index]).map(member => nodes[member]!))
  }
  return { order: [...parts.order].map(index => nodes[index]!), circles, knotted }
}
