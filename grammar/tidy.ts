import type { PlacedLine } from './blocks.ts'
import { endedBy, lineEndOf } from './lines.ts'
import { readSheet, tooLarge } from './parse.ts'
import { blockOf } from './places.ts'
import { type LineParts, lineParts } from './print.ts'
import type { Problem } from './source.ts'
import { padded, widthOf } from './width.ts'

/** Comments at the ends of lines stand here, or further right where a line of their run is longer. [columns, from 0] */
const COMMENT_COLUMN = 41
const COMMENT_GAP = 3
/** A wider part is not aligned with, so that one long line does not push all others apart. */
const WIDEST = 40

/** The width of first words that stand above one another. */
const FIRST_WIDTH: Readonly<Record<string, number>> = { fact: 5, lever: 5, must: 6, should: 6, could: 6, aim: 6 }
/** The blanks behind an aligned column; one where nothing is said. */
const GAP: Readonly<Record<string, number>> = { fact: 2, lever: 2, row: 2 }

/**
 * A sheet in its standard layout, with the same meaning: indents of two blanks, columns aligned within a run of lines of
 * one kind, units and signs in plain form. Empty lines and comments are kept, and how most lines end. Lines that are wrong
 * keep their words. A sheet that is already tidy comes out as it is.
 */
export function tidy(text: string): { readonly text: string; readonly problems: readonly Problem[] } {
  const lines: PlacedLine[] = []
  const { problems } = readSheet(text, line => lines.push(line))
  // Where it is open which block a line belongs to, no layout is sure to keep it there.
  if (tooLarge(text) || lines.some(line => line.indented === 'mixed')) return { text, problems }
  const laid = layOut(lines)
  let result = ''
  for (const [index, line] of lines.entries()) {
    const emptyLines = line.number - (lines[index - 1]?.number ?? 0) - 1
    result += `${'\n'.repeat(emptyLines)}${laid[index]}\n`
  }
  // A byte-order mark that a wrong line begins with is kept: the one at the start of a text is no part of it.
  const whole = result.startsWith('\ufeff') ? `\ufeff${result}` : result
  return { text: endedBy(whole, lineEndOf(text)), problems }
}

function layOut(lines: readonly PlacedLine[]): string[] {
  const laid: string[] = []
  const indents = indentsOf(lines)
  const shared = sharedWidths(lines)
  for (let start = 0; start < lines.length; ) {
    const end = runEnd(lines, start)
    if (lines[start]!.node)
      laid.push(...layOutRun(lines.slice(start, end), indents.slice(start, end), shared.get(lines[start]!)))
    else laid.push(' '.repeat(indents[start]!) + lines[start]!.text.slice(lines[start]!.indent.narrow))
    start = end
  }
  return laid
}

/** The end of the run of lines, one below the other, whose columns are aligned. */
function runEnd(lines: readonly PlacedLine[], start: number): number {
  const first = lines[start]!
  const kind = first.node && lineParts(first.node).kind
  let end = start + 1
  if (!kind) return end
  for (let line = lines[end]; line; line = lines[++end]) {
    const follows = line.number === lines[end - 1]!.number + 1 && line.level === first.level
    if (!follows || !line.node || lineParts(line.node).kind !== kind) break
  }
  return end
}

/** The widths that the slots of all stages and parachutes of a flight share, by line; a gap in the text ends the sharing. */
function sharedWidths(lines: readonly PlacedLine[]): ReadonlyMap<PlacedLine, readonly number[]> {
  const widths = new Map<PlacedLine, readonly number[]>()
  let kin: PlacedLine[] = []
  const share = (): void => {
    const all = columnWidths(kin.map(line => lineParts(line.node!)))
    for (const line of kin) widths.set(line, all)
    kin = []
  }
  for (const [index, line] of lines.entries()) {
    if (line.level === 0 || lines[index - 1]?.number !== line.number - 1) share()
    if (line.level === 2 && line.node) kin.push(line)
  }
  share()
  return widths
}

function layOutRun(
  lines: readonly PlacedLine[],
  indents: readonly number[],
  shared: readonly number[] | undefined,
): string[] {
  const parts = lines.map(line => lineParts(line.node!))
  const widths = shared ?? columnWidths(parts)
  const bodies = parts.map((each, index) => ' '.repeat(indents[index]!) + aligned(each, widths))
  let column = COMMENT_COLUMN
  for (const [index, line] of lines.entries()) {
    if (line.comment !== null) column = Math.max(column, widthOf(bodies[index]!) + COMMENT_GAP)
  }
  return bodies.map((body, index) => {
    const { comment } = lines[index]!
    return comment === null ? body : `${padded(body, column)}# ${comment}`
  })
}

function columnWidths(run: readonly LineParts[]): number[] {
  const widths: number[] = []
  for (const { columns } of run) {
    for (const [index, text] of columns.entries()) {
      const width = widthOf(text)
      if (width <= WIDEST) widths[index] = Math.max(widths[index] ?? 0, width)
      else widths[index] ??= 0
    }
  }
  return widths
}

function aligned(parts: LineParts, widths: readonly number[]): string {
  const gap = ' '.repeat(GAP[parts.kind ?? ''] ?? 1)
  let text = parts.first === '' ? '' : `${padded(parts.first, FIRST_WIDTH[parts.first] ?? 0)} `
  for (const [index, column] of parts.columns.entries()) text += padded(column, widths[index]!) + gap
  return (text + parts.rest).trimEnd()
}

/** The indent of each line in the layout [columns], of comments alone too. */
function indentsOf(lines: readonly PlacedLine[]): readonly number[] {
  const said = lines.filter(line => line.span)
  const least = said.reduce((all, line) => Math.min(all, line.indent.wide), Number.POSITIVE_INFINITY)
  const laid = laidOut(said, least)
  let next = 0
  return lines.map(line => {
    if (line.span) return laid.get(said[next++]!)!
    return commentIndent(line.indent.wide, least, laid, said[next - 1], said[next])
  })
}

/**
 * Two columns for each block. A statement with a line that does not fit the indent of its block keeps all its indents, so that none of its lines
 * comes to fit, or into another block, by being laid out; `least` is where statements begin.
 */
function laidOut(said: readonly PlacedLine[], least: number): ReadonlyMap<PlacedLine, number> {
  const laid = new Map<PlacedLine, number>()
  for (let start = 0; start < said.length; ) {
    let end = start + 1
    while (end < said.length && said[end]!.level > 0) end++
    const statement = said.slice(start, end)
    const uneven = statement.some(line => line.indented === 'unevenly')
    for (const line of statement) laid.set(line, uneven ? line.indent.wide - least : 2 * line.level)
    start = end
  }
  return laid
}

/** A comment alone goes with the line below or above that it is written under, else with the one below. */
function commentIndent(
  indent: number,
  least: number,
  laid: ReadonlyMap<PlacedLine, number>,
  above?: PlacedLine,
  below?: PlacedLine,
): number {
  if (indent <= least || !Number.isFinite(least)) return 0
  if (below?.indent.wide === indent) return laid.get(below)!
  if (above?.indent.wide === indent) return laid.get(above)!
  if (above && indent > above.indent.wide && opensBlock(above)) return laid.get(above)! + 2
  const beside = below ?? above
  return beside ? laid.get(beside)! : 0
}

function opensBlock(line: PlacedLine): boolean {
  const kind = blockOf(line)
  return kind !== 'none' && kind !== 'unknown'
}
