import { error, type Span } from '../../grammar/source.ts'
import { describe, same } from '../../grammar/units/dimension.ts'
import type { Curve, Expr } from '../../solver/index.ts'
import type { Surroundings, TableEntry } from './checked.ts'
import { dimensionOf } from './kinds.ts'
import type { FlightStatement, Scope } from './scope.ts'
import { fitSlot, type Given, tableFor } from './slot-values.ts'
import type { SlotEntry } from './slots.ts'

/** What is not written in the block is taken from the sheet's quantities and tables of that name. False where one of these holds a mistake. */
export function fillFromSheet(
  statement: FlightStatement,
  entries: readonly SlotEntry[],
  { values, curves }: Given,
  scope: Scope,
  around: Surroundings,
): boolean {
  const written = new Set(statement.slots.map(slot => slot.name.text))
  let complete = true
  for (const entry of entries) {
    if (written.has(entry.name)) continue
    const filled = fillByName(statement, entry, scope, around)
    if (filled === 'broken') complete = false
    else if (filled && 'knots' in filled) (curves as Map<string, Curve>).set(entry.name, filled)
    else if (filled) values.set(entry.name, filled)
  }
  return complete
}

/** The sheet's own quantity or table of a slot's name. 'broken': there is one, but with a mistake told elsewhere. */
function fillByName(
  statement: FlightStatement,
  entry: SlotEntry,
  scope: Scope,
  around: Surroundings,
): Expr | Curve | null | 'broken' {
  const declared = scope.names.get(entry.name)
  if (!declared || declared.kind === 'body' || declared.kind === 'flight') return null
  if (entry.tableOf !== undefined) {
    if (declared.kind !== 'table') return null
    return tableFor(entry, entry.name, declared.name.span, around) ?? 'broken'
  }
  if (declared.kind === 'table') {
    if (entry.name !== 'drag coefficient') {
      around.problems.push(
        error(
          declared.name.span,
          `The flight "${statement.name.text}" takes its ${entry.name} from here, but a table is not one value.`,
          `Give the table another name, or write "${entry.name} = …" in the flight's block.`,
        ),
      )
      return 'broken'
    }
    const table = around.table(entry.name)
    return table ? machTable(table, declared.name.span, around) : 'broken'
  }
  const checked = around.lookup(declared.name, null, declared.name.span)
  const also = [{ ...statement.name.span, message: `the flight takes its ${entry.name} from the sheet` }]
  return checked ? (fitSlot(entry, checked, declared.name.span, around, also) ?? 'broken') : 'broken'
}

function machTable(table: TableEntry, span: Span, around: Surroundings): Expr | 'broken' {
  const plain = dimensionOf('1')
  if (same(table.argument, plain) && same(table.value, plain)) {
    around.used(table, { op: 'local' }, span)
    return { op: 'curve', curve: table.curve, a: { op: 'local' } }
  }
  around.problems.push(
    error(
      span,
      `A drag coefficient is a table of mach, both plain numbers; this one goes from ${describe(table.argument)} to ${describe(table.value)}.`,
      'Write both columns without units.',
    ),
  )
  return 'broken'
}
