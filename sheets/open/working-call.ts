import type { Expression } from '../../grammar/tree.ts'
import { displayUnit } from '../../grammar/units/choose.ts'
import { parseUnit, type Unit } from '../../grammar/units/unit.ts'
import { constant, type TableEntry } from './checked.ts'
import { type Desk, valueText } from './working-node.ts'

const AIR: ReadonlySet<string> = new Set(['air pressure', 'air density', 'air temperature', 'sound speed', 'gravity'])

/** Whether a call asks for the air or the gravity of a body. */
export function isAir(name: string): boolean {
  return AIR.has(name)
}

/** How a table gives a value: the rows on both sides, or the end that is held. */
export function tableNote(desk: Desk, head: string, table: TableEntry, argument: number, value: number): string {
  const { knots } = table.curve
  const unit = argumentUnit(table)
  const values = displayUnit(table.value, value)
  const row = (place: number): string => {
    const x = knots[place]!
    const [y] = desk.values([{ op: 'curve', curve: table.curve, a: constant(x) }])
    return `${valueText(x, unit)} gives ${valueText(y!, values)}`
  }
  const last = knots.length - 1
  const given = valueText(value, values)
  if (!(argument >= knots[0]!)) return `${head} = ${given}: below the first row (${row(0)}), whose value is held`
  if (argument > knots[last]!) return `${head} = ${given}: above the last row (${row(last)}), whose value is held`
  const place = knots.findIndex(knot => knot >= argument)
  if (knots[place] === argument) return `${head} = ${given}: a row of the table`
  return `${head} = ${given}: between the rows ${row(place - 1)} and ${row(place)}`
}

function argumentUnit(table: TableEntry): Unit {
  const written = parseUnit(table.argumentUnit)
  return 'unit' in written ? written.unit : displayUnit(table.argument, 1)
}

/** Where the air of a body is from. */
export function airNote(desk: Desk, call: Extract<Expression, { kind: 'call' }>, head: string, value: string): string {
  const body = call.of?.text ?? desk.scope.flights[0]?.body.text ?? 'Earth'
  const of = `of ${body}`
  if (call.name.text === 'gravity')
    return `${head} ${of} = ${value}: it falls with the square of the distance from the centre`
  return `${head} ${of} = ${value}${body === 'Earth' ? ', by the 1976 standard atmosphere' : ''}`
}
