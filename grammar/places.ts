import { type BlockKind, blockNamed, HOLDS } from './block-kind.ts'
import type { LineNode } from './line.ts'
import type { SourceLine } from './lines.ts'
import type { ReadLine } from './read.ts'
import { meantFirst } from './slips/first-word.ts'
import { error, type Problem } from './source.ts'
import type { Each, Part, Slot, TableRow } from './tree.ts'
import { FIRST_WORDS, isFirstWord } from './words.ts'

/** What a block holds, while it is filled. */
export interface Filling {
  readonly slots: Slot[]
  readonly parts: Part[]
  readonly rows: TableRow[]
  readonly each: Each[]
}

/** What kind of block a line opens, told from its first word even where the line is wrong. */
export function blockOf(line: ReadLine): BlockKind {
  const first = line.tokens[0]!
  if (first.type === 'Word' && line.node === null) {
    const meant = meantFirst(first.text.split(' ', 1)[0]!, FIRST_WORDS)
    return meant === null ? 'unknown' : blockNamed(meant)
  }
  return blockNamed(first.text)
}

/** A line in a block that does not hold lines of its kind, or under a line that has no block; `head` is that line. */
export function misplaced(line: ReadLine, kind: BlockKind, head: ReadLine | null): Problem | null {
  const span = line.span!
  if (kind === 'none') {
    const message = `This line is indented, but a line that begins with ${told(head!)} has no lines of its own.`
    return error(span, message, 'Start it without blanks in front; a statement ends with its line.')
  }
  const node = line.node!
  if (kind === 'unknown' || HOLDS[kind].includes(node.kind)) return null
  if (kind === 'sheet') return unindented(line, node, head)
  const first = line.tokens[0]!.text
  if (isFirstWord(first) && HOLDS.sheet.includes(node.kind)) {
    return error(
      line.tokens[0]!.span,
      `A line that begins with "${first}" cannot stand inside a ${kind} block.`,
      'Start it without blanks in front.',
    )
  }
  if (node.kind === 'stage' || node.kind === 'parachute') {
    const inPart = kind === 'stage' || kind === 'parachute'
    const mend = inPart ? `Indent it as far as the ${kind} above it.` : 'Move it into a flight block.'
    return error(line.tokens[0]!.span, `A ${node.kind} cannot stand inside a ${kind} block.`, mend)
  }
  return error(span, `This line does not belong in a ${kind} block.`, FORM[kind])
}

const FORM: Readonly<Record<Exclude<BlockKind, 'sheet' | 'none' | 'unknown'>, string>> = {
  flight: 'A line of a flight block has the form NAME = VALUE.',
  stage: 'A line of a stage block has the form NAME = VALUE.',
  parachute: 'A line of a parachute block has the form NAME = VALUE.',
  body: 'A line of a body block has the form NAME = VALUE.',
  table: 'A row of a table is numbers side by side, such as 0.8 0.32.',
  variants: 'A line of a variants block has the form each NAME over A, B, C.',
}

/** A line of a block that stands at the top of the sheet. `above` is the line before it. */
function unindented(line: ReadLine, node: LineNode, above: ReadLine | null): Problem {
  const first = line.tokens[0]!
  const place = above && HOLDS[blockOf(above)].includes(node.kind) ? 'Indent it by two blanks.' : null
  const under = (head: string): string => place ?? `Move it under ${head}, and indent it.`
  if (node.kind === 'row')
    return error(line.span!, 'A row of numbers stands indented below the table it belongs to.', under('its table'))
  if (node.kind === 'over' || node.kind === 'steps')
    return error(first.span, 'An "each" line stands indented below "variants".', under('a line "variants"'))
  if (node.kind === 'stage' || node.kind === 'parachute')
    return error(first.span, `A ${node.kind} stands indented inside a flight.`, under('its flight'))
  if (node.kind !== 'slot') throw new Error(`${node.kind} is no line of a block`)
  const word = first.text.split(' ', 1)[0]!
  const meant = word === first.text ? null : meantFirst(word, FIRST_WORDS)
  if (meant !== null) {
    return error({ ...first.span, length: word.length }, `No line begins with "${word}".`, `Write ${meant}.`)
  }
  const kind = node.value.kind === 'number' ? 'fact' : 'figure'
  const message = 'A line begins with what it is, such as fact, lever or figure; this one begins with a name.'
  const block = place && ` Or indent it, if it belongs to the ${blockOf(above!)} above.`
  return error(first.span, message, `Write ${kind} in front of it.${block ?? ''}`)
}

/** A line indented other than the lines of its block; `model` is one of those, null at the top of the sheet. */
export function unevenIndent(line: ReadLine, model: SourceLine | null): Problem {
  if (model === null)
    return error(
      line.span!,
      'This line is indented, but no block is open above it.',
      'Start it without blanks in front.',
    )
  const message = 'This line is not indented as far as the other lines of its block.'
  return error(line.span!, message, `Indent it like line ${model.number}.`, [
    { line: model.number, column: model.indent.narrow + 1, length: 1, message: 'The block begins here.' },
  ])
}

export function mixedIndents(line: ReadLine): Problem {
  return error(
    line.span!,
    'Tabs and blanks are mixed here, so it is not clear which block this line belongs to.',
    'Indent with blanks only.',
  )
}

/** A row of a table with too few numbers, or not as many as the first row. */
export function ragged(
  line: ReadLine,
  row: { readonly cells: TableRow['cells'] },
  first: TableRow | undefined,
): Problem | null {
  const count = row.cells.length
  if (count < 2)
    return error(
      line.span!,
      'A row needs two numbers at least: where, and how much there.',
      'Put both on the row, with blanks between them.',
    )
  if (!first || first.cells.length === count) return null
  const message = `This row has ${count} numbers; the first row of the table has ${first.cells.length}.`
  return error(line.span!, message, 'Give each row as many numbers as the first.', [
    { ...first.span, message: 'The first row is here.' },
  ])
}

/** A block that lacks the lines that make it one, or has them twice over. */
export function emptyBlock(head: ReadLine, filling: Filling): Problem | null {
  const node = head.node!
  if (node.kind === 'table') {
    if (filling.rows.length > 0 === (node.file === null)) return null
    if (node.file)
      return error(node.file.span, `The table "${node.name.text}" has both a file and rows.`, 'Keep one of the two.')
    return error(
      node.name.span,
      `The table "${node.name.text}" has no rows.`,
      'Write its rows below it, indented, or name a file: from "file.csv".',
    )
  }
  if (node.kind !== 'variants' || filling.each.length > 0 === (node.file === null)) return null
  if (node.file)
    return error(node.file.span, 'These variants have both a file and "each" lines.', 'Keep one of the two.')
  return error(
    head.span!,
    'These variants have no "each" line.',
    'Say below it, indented, what varies: each NAME over A, B, C.',
  )
}

function told(line: ReadLine): string {
  const first = line.tokens[0]!
  return first.type === 'Word' ? 'a name' : `"${first.text}"`
}
