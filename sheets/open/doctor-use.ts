import { type Problem, remark, warning } from '../../grammar/source.ts'
import type { Expression, Statement } from '../../grammar/tree.ts'
import { eachRead, readBy, walkNames } from './dependency.ts'
import { meant } from './meant.ts'
import type { Reading } from './open.ts'
import type { Declared, Scope } from './scope.ts'
import { slotsByName } from './slots.ts'

/** Declarations that nothing else reads: no line, no flight, no target and no aim. Levers and flights stand for themselves. */
export function unread({ scope, statements }: Reading): readonly Declared[] {
  const read = new Set<Declared>()
  for (const declared of scope.names.values()) eachRead(declared, scope, each => read.add(each))
  for (const expression of statements.flatMap(askedOf))
    walkNames(expression, (name, of, called) => {
      const found = readBy(name, of, called, scope)
      if (found) read.add(found)
    })
  return [...scope.names.values()].filter(
    declared => !read.has(declared) && declared.kind !== 'lever' && declared.kind !== 'flight',
  )
}

/** The expressions of what is not declared by name: targets, aims, and the values of variants. */
function askedOf(statement: Statement): readonly Expression[] {
  switch (statement.kind) {
    case 'target': {
      const { limit } = statement
      if (limit.kind === 'within') return [statement.value, limit.from, limit.to]
      const tolerance = limit.kind === 'equal to' ? limit.tolerance : null
      return tolerance ? [statement.value, limit.value, tolerance] : [statement.value, limit.value]
    }
    case 'aim':
      return statement.value ? [statement.value] : []
    case 'variants':
      return statement.each.flatMap(each =>
        each.kind === 'over' ? each.values.flatMap(value => (value.kind === 'text' ? [] : [value])) : [],
      )
    default:
      return []
  }
}

/** What is to be said of a declaration that nothing reads. A figure may be there to be looked at; a fact, a table, a body may not. */
export function unreadProblem(declared: Declared, scope: Scope): Problem {
  const { text, span } = declared.name
  const meant = slotMeant(text, scope)
  switch (declared.kind) {
    case 'table':
      return warning(
        span,
        `Nothing calls the table "${text}".`,
        meant ?? `Write "${text}(${declared.argument.text})" where its value is wanted.`,
      )
    case 'body':
      return warning(
        span,
        `No flight starts from the body "${text}".`,
        `Write a line such as "flight hop from ${text}".`,
      )
    case 'figure':
      return meant
        ? warning(span, `Nothing asks for "${text}", and no flight takes it by this name.`, meant)
        : remark(span, `Nothing asks for "${text}"; it is only shown.`)
    default:
      return warning(span, `Nothing reads "${text}": it changes no number of this sheet.`, meant)
  }
}

/** A quantity that a flight takes by name, where one was most likely meant and is not there: such a slip is silent otherwise. */
export function slotMeant(text: string, scope: Scope): string | null {
  if (scope.flights.length === 0) return null
  const written = new Set(scope.flights.flatMap(flight => flight.slots.map(slot => slot.name.text)))
  // Only a flight without stage blocks takes a stage's quantities by name.
  const single = scope.flights.some(flight => !flight.parts.some(part => part.kind === 'stage'))
  const open = slotsByName(!single)
    .map(slot => slot.name)
    .filter(name => !scope.names.has(name) && !written.has(name))
  const name = meant(text, open)
  return name === null ? null : `Did you mean "${name}"? A flight takes it by that name.`
}
