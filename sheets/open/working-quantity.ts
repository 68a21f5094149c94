import { expressionText } from '../../grammar/print.ts'
import type { Expression } from '../../grammar/tree.ts'
import type { WorkingHold } from '../working.ts'
import { reasonWords, unitFor } from './answer-quantities.ts'
import { explain } from './working-figures.ts'
import { type Desk, type Node, type Told, told, valueText } from './working-node.ts'
import { isWritten, relationOf } from './working-relation.ts'

/** What a quantity node needs beside the desk: what holds a lever (its place in the program's). */
export type Holds = (lever: number) => readonly WorkingHold[]

/** The node of a quantity of the sheet, or of a flight's figure. */
export function quantityNode(desk: Desk, id: number, holds: Holds): Node {
  const { session, opened } = desk
  const { state, compiled } = session
  const info = opened.info[id]!
  const si = state.valueOf(id)
  const unit = info.lever?.written.unit ?? unitFor(info, si)
  const lever = compiled.program.levers.indexOf(id)
  const range = lever === -1 ? null : session.ranges[lever]!
  const text = range ? `${range.text(si)} ${unit.text}`.trim() : valueText(si, unit)
  const bare = info.figure && opened.ids.get(info.figure.name) === id ? info.figure.name : info.name
  const node: Node = { key: `quantity ${id}`, name: bare, si, unit, text, open: () => open() }
  const open = (): Told => {
    const targets = opened.targets.flatMap((target, t) => (target.id === id ? [t] : []))
    const reason = Number.isNaN(si) ? reasonWords(state, id, opened) : null
    const common = { line: info.span.line, reason, targets }
    if (lever !== -1) {
      const pinned = !Number.isNaN(state.pinned(lever))
      return told('lever', { ...common, description: info.description, pinned, held: pinned ? [] : holds(lever) })
    }
    if (info.figure) return { ...explain(desk, info.figure.flight, info.figure.name, node), ...common }
    return { ...declared(desk, id, node), ...common, description: info.description }
  }
  return node
}

/** A fact or a figure of the sheet's own. */
function declared(desk: Desk, id: number, node: Node): Told {
  const { session, opened, scope } = desk
  const statement = scope.names.get(opened.info[id]!.name)
  if (statement?.kind !== 'fact' && statement?.kind !== 'figure') throw new Error(`${node.name} is declared nowhere`)
  const { kind } = statement
  if (kind === 'fact' && !Number.isNaN(session.state.overrides[session.compiled.program.slots[id]!]!)) {
    const text = `set to this in place of ${expressionText(statement.value)}`
    return told('fact', { parts: [{ kind: 'note', text }] })
  }
  const notes = kind === 'fact' && statement.error ? [errorNote(statement.error)] : []
  if (isWritten(statement.value)) return told(kind, { parts: notes })
  const { part, reads } = relationOf(desk, statement.value, desk.lookup, null, node)
  return told(kind, { parts: [part, ...notes], reads })
}

function errorNote(error: Expression): { readonly kind: 'note'; readonly text: string } {
  return { kind: 'note', text: `known to ± ${expressionText(error)}` }
}
