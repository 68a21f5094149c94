import { splitLines } from './lines.ts'
import type { Problem, Span } from './source.ts'
import { characterWidth, showable } from './width.ts'

/** How parts of a rendered problem are coloured; each takes plain text and gives it painted. */
export interface Paint {
  readonly place?: (text: string) => string
  readonly severity?: (text: string, severity: Problem['severity']) => string
  readonly mark?: (text: string, severity: Problem['severity']) => string
  readonly mend?: (text: string) => string
}

/** Longer lines are cut to this many columns around the place. */
const WINDOW = 96
/** Columns kept in front of the place where a line is cut. */
const LEAD = 32

/**
 * A problem as text of several lines, without an end of line: file, line and column, the message, the line itself with a
 * mark under the place, the other places that belong to it, and the mend. `text` is the sheet, or its lines (`splitLines`).
 */
export function renderProblem(
  problem: Problem,
  text: string | readonly string[],
  fileName: string,
  paint: Paint = {},
): string {
  const lines = typeof text === 'string' ? splitLines(text) : text
  const also = problem.also ?? []
  const gutter = Math.max(problem.line, ...also.map(each => each.line)).toString().length + 2
  const place = `${showable(fileName)}:${problem.line}:${problem.column}:`
  const severity = paint.severity?.(`${problem.severity}:`, problem.severity) ?? `${problem.severity}:`
  const rendered = [`${paint.place?.(place) ?? place} ${severity} ${showable(problem.message)}`]
  const places = [
    { ...placeOf(problem), note: problem.note ?? '' },
    ...also.map(each => ({ ...each, note: each.message })),
  ]
  const marks = places.map(each => marked(lines[each.line - 1] ?? '', each))
  places.forEach(({ line, note }, index) => {
    const [shown, { indent, text: mark }] = marks[index]!
    // Places on one line, one under the other: the line is shown once, and what is said of them begins at one column.
    const again = index > 0 && line === places[index - 1]!.line && shown === marks[index - 1]![0]
    if (!again) rendered.push(`${line.toString().padStart(gutter)}  ${shown}`.trimEnd())
    const alike = marks.filter(
      (other, at) => places[at]!.line === line && other[0] === shown && places[at]!.note !== '',
    )
    const column = Math.max(...alike.map(([, other]) => other.indent + other.text.length))
    const gap = note === '' ? '' : ' '.repeat(column - indent - mark.length + 1)
    const painted = paint.mark?.(mark, problem.severity) ?? mark
    rendered.push(`${' '.repeat(gutter + 2 + indent)}${painted}${gap}${showable(note)}`)
  })
  if (problem.mend !== null) {
    const mend = showable(problem.mend)
    rendered.push(`${' '.repeat(gutter + 2)}${paint.mend?.(mend) ?? mend}`)
  }
  return rendered.join('\n')
}

/** All problems, with an empty line between them. */
export function renderProblems(
  problems: readonly Problem[],
  text: string,
  fileName: string,
  paint: Paint = {},
): string {
  const lines = splitLines(text)
  return problems.map(each => renderProblem(each, lines, fileName, paint)).join('\n\n')
}

function placeOf({ line, column, length }: Span): Span {
  return { line, column, length }
}

interface Mark {
  readonly indent: number
  readonly text: string
}

/** A line, or the part of it around a place, and the mark that belongs under it. */
function marked(line: string, span: Span): readonly [string, Mark] {
  const start = Math.min(span.column - 1, line.length)
  const end = Math.max(start + 1, Math.min(start + span.length, line.length))
  // Only what can be seen is looked at: a line may be a megabyte long.
  const from = cutStart(line, start)
  const cut = from > 0 ? '…' : ''
  let shown = cut
  let column = cut.length
  let [first, last] = [column, column]
  let at = from
  for (const character of line.slice(from, from + 2 * WINDOW)) {
    const width = characterWidth(character)
    if (column + width > WINDOW) {
      shown += '…'
      break
    }
    if (at < start) first = column + width
    if (at < end) last = column + width
    shown += showable(character)
    column += width
    at += character.length
  }
  return [shown, { indent: first, text: '^'.repeat(Math.max(1, last - first)) }]
}

/** Where the shown part of a line begins: its start, or some columns before the place, never inside a surrogate pair. */
function cutStart(line: string, start: number): number {
  if (start <= WINDOW - LEAD) return 0
  const from = start - LEAD
  return /[\udc00-\udfff]/.test(line[from]!) ? from - 1 : from
}
