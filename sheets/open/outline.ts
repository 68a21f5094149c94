import { targetText } from '../../grammar/print.ts'
import type { Span } from '../../grammar/source.ts'
import type { Expression, Limit, Statement } from '../../grammar/tree.ts'
import { toSI, type Unit } from '../../grammar/units/unit.ts'
import type { OutlineLever, OutlineLimit, OutlineUnit, OutlineValue, SheetOutline, Stretch } from '../outline.ts'
import { unitNamed } from '../report/target-words.ts'
import type { Reading } from './open.ts'
import type { Opened } from './opened.ts'
import type { Session } from './session.ts'

/** Where everything stands in a text that a hand may change, as it was read; `session` gives the levers' ranges, null for a faulty sheet. */
export function outlineOf(text: string, { statements, opened }: Reading, session: Session | null): SheetOutline {
  const place = placer(text)
  const value = (tree: Expression): OutlineValue => {
    const at = place(tree.span)
    return { at, text: text.slice(...at), unit: unitOf(tree) }
  }
  const line = (statement: Extract<Statement, { name: unknown }> & { readonly name: { readonly text: string } }) => ({
    name: statement.name.text,
    line: statement.span.line,
    whole: place(statement.span),
    description: statement.comment,
  })
  return {
    facts: statements.flatMap(each =>
      each.kind === 'fact' ? [{ ...line(each), value: value(each.value), error: each.error && value(each.error) }] : [],
    ),
    levers: statements.flatMap(each =>
      each.kind === 'lever'
        ? [
            {
              ...line(each),
              from: value(each.from),
              to: value(each.to),
              step: each.step && value(each.step),
              ...rangeOf(each.name.text, opened, session, unitOf(each.from)),
            },
          ]
        : [],
    ),
    targets: statements.flatMap(each =>
      each.kind === 'target'
        ? [
            {
              text: targetText(each),
              level: each.level,
              line: each.span.line,
              whole: place(each.span),
              kind: each.limit.kind,
              limits: limitsOf(each.limit, value),
              description: each.comment,
            },
          ]
        : [],
    ),
    flights: opened.model.flights.map(flight => flight.name),
    names: opened.shown.flatMap(({ names }) => names),
  }
}

/** From lines and columns to offsets in the text, its line ends and byte-order mark counted. */
function placer(text: string): (span: Span) => Stretch {
  const starts = [text.startsWith('\ufeff') ? 1 : 0]
  for (const end of text.matchAll(/\r\n|\r|\n/g)) starts.push(end.index + end[0].length)
  return ({ line, column, length }) => {
    const from = starts[line - 1]! + column - 1
    return [from, from + length]
  }
}

function limitsOf(limit: Limit, value: (tree: Expression) => OutlineValue): readonly OutlineLimit[] {
  switch (limit.kind) {
    case 'at least':
      return [{ end: 'low', value: value(limit.value) }]
    case 'at most':
      return [{ end: 'high', value: value(limit.value) }]
    case 'within':
      return [
        { end: 'low', value: value(limit.from) },
        { end: 'high', value: value(limit.to) },
      ]
    case 'equal to':
      return [{ end: 'both', value: value(limit.value) }]
  }
}

/** The unit of a number with its sign; null of anything else. */
function unitOf(tree: Expression): OutlineUnit | null {
  const number = tree.kind === 'sign' ? tree.arg : tree
  return number.kind === 'number' ? straight(unitNamed(number.unit?.text ?? '')) : null
}

function straight(unit: Unit): OutlineUnit {
  const zero = toSI(0, unit)
  return { text: unit.text, per: toSI(1, unit) - zero, zero }
}

function rangeOf(
  name: string,
  { info, ids }: Opened,
  session: Session | null,
  written: OutlineUnit | null,
): Pick<OutlineLever, 'range' | 'settings' | 'unit'> {
  const id = ids.get(name)
  const lever = id === undefined ? undefined : info[id]!.lever
  const unit = lever ? straight(lever.written.unit) : (written ?? { text: '', per: 1, zero: 0 })
  const found = session && id !== undefined ? session.ranges[session.compiled.program.levers.indexOf(id)] : null
  if (!found) return { range: null, settings: null, unit }
  return { range: [found.range.from, found.range.to], settings: found.range.settings, unit }
}
