import type { BlockKind } from './block-kind.ts'
import type { LineNode } from './line.ts'
import { compareIndents, type SourceLine } from './lines.ts'
import { blockOf, emptyBlock, type Filling, misplaced, mixedIndents, ragged, unevenIndent } from './places.ts'
import { type ReadLine, readLine } from './read.ts'
import { error, type Problem, type Span } from './source.ts'
import type { Statement, Tree } from './tree.ts'
import { isFirstWord } from './words.ts'

/** Whether a line's indent is that of its block; `mixed` where tabs and blanks leave it open which block that is. */
export type Indented = 'well' | 'unevenly' | 'mixed'

/** A line with its level in the layout: 0 at the top, 1 in a block, 2 in a stage or parachute. Its node is null where it is left out of the tree. */
export interface PlacedLine extends ReadLine {
  readonly level: number
  readonly indented: Indented
}

/** A line and the lines indented under it. */
interface Frame {
  readonly kind: BlockKind
  /** Null for the sheet itself. */
  readonly head: ReadLine | null
  /** A line inside, whose indent the others share. */
  model: SourceLine | null
  /** Where the lines inside go; null where the head is wrong. */
  readonly filling: Filling | null
  /** Whether a line inside is left out, so that the block may lack what it was meant to have. */
  broken: boolean
}

/** Puts the lines of a sheet together to statements, by their indents. */
export class Assembly {
  private readonly statements: Statement[] = []
  private readonly problems: Problem[] = []
  private readonly lost = new Set<string>()
  private readonly stack: Frame[]
  private title: ReadLine | null = null
  /** The last line that says something. */
  private above: ReadLine | null = null

  /** `model` is the line indented least of those that say something: where the sheet's own statements begin. */
  constructor(model: SourceLine | null) {
    this.stack = [{ kind: 'sheet', head: null, model, filling: null, broken: false }]
  }

  /** The tree, once all lines are placed. */
  finish(): Tree {
    while (this.stack.length > 1) this.close()
    this.problems.sort((a, b) => a.line - b.line || a.column - b.column)
    return { statements: this.statements, problems: this.problems, lost: [...this.lost] }
  }

  /** Reads and places the next line. */
  place(source: SourceLine): PlacedLine {
    if (source.text[source.indent.narrow] === '#') return placed(readLine(source, 'sheet'), null, 0, 'well')
    const indented = this.enter(source)
    const frame = this.stack.at(-1)!
    const line = readLine(source, frame.kind)
    const problem = this.indentFault(line, frame, indented) ?? this.unfit(line, frame)
    // Under a line without a block, what is no statement by itself was meant to go on with the line above.
    if (frame.kind !== 'none' || isFirstWord(line.tokens[0]!.text)) this.problems.push(...line.problems)
    if (problem) this.problems.push(problem)
    const node = problem || frame.kind === 'unknown' ? null : line.node
    const level = this.stack.length - 1
    const kind = blockOf(line)
    const filling = kind === 'none' ? NOTHING : { slots: [], parts: [], rows: [], each: [] }
    if (node) this.add(node, line, frame, filling)
    else {
      frame.broken = true
      for (const name of namesOf(line)) this.lost.add(name)
    }
    this.stack.push({ kind, head: line, model: null, filling: node && filling, broken: false })
    this.above = line
    return placed(line, node, level, indented)
  }

  /** Leaves the blocks that end before a line, and tells whether its indent fits the block that it is then in. */
  private enter(line: SourceLine): Indented {
    while (this.stack.length > 1) {
      const compared = compareIndents(line.indent, this.stack.at(-1)!.head!.indent)
      if (compared === null) return 'mixed'
      if (compared > 0) break
      this.close()
    }
    const frame = this.stack.at(-1)!
    frame.model ??= line
    const compared = compareIndents(line.indent, frame.model.indent)
    if (compared === null) return 'mixed'
    return compared === 0 || frame.kind === 'none' ? 'well' : 'unevenly'
  }

  private indentFault(line: ReadLine, frame: Frame, indented: Indented): Problem | null {
    if (indented === 'mixed') return mixedIndents(line)
    if (indented === 'well' || frame.kind === 'unknown') return null
    return unevenIndent(line, frame.head && frame.model)
  }

  /** What keeps a right line from standing where it stands. */
  private unfit(line: ReadLine, frame: Frame): Problem | null {
    if (frame.kind === 'unknown') return null
    if (frame.kind === 'none') return misplaced(line, frame.kind, frame.head)
    if (!line.node) return null
    const problem = misplaced(line, frame.kind, frame.head ?? this.above)
    if (problem) return problem
    if (line.node.kind === 'row') return ragged(line, line.node, frame.filling?.rows[0])
    if (line.node.kind !== 'sheet') return null
    if (this.title) {
      const also = [{ ...this.title.span!, message: 'The first title is here.' }]
      return error(line.span!, 'A sheet has one title; this is the second.', 'Keep one of them.', also)
    }
    this.title = line
    return null
  }

  private close(): void {
    const { head, filling, broken } = this.stack.pop()!
    const problem = head && filling && !broken && emptyBlock(head, filling)
    if (problem) this.problems.push(problem)
  }

  private add(node: LineNode, line: ReadLine, frame: Frame, filling: Filling): void {
    const span = line.span!
    const { comment } = line
    const into = frame.filling
    switch (node.kind) {
      case 'slot':
        into?.slots.push({ name: node.name, value: node.value, span, comment })
        return
      case 'row':
        into?.rows.push({ cells: node.cells, span, comment })
        return
      case 'over':
        into?.each.push({ kind: 'over', name: node.name, values: node.values, span, comment })
        return
      case 'steps': {
        const { kind, name, from, to, step } = node
        into?.each.push({ kind, name, from, to, step, span, comment })
        return
      }
      case 'stage':
      case 'parachute':
        into?.parts.push({ kind: node.kind, name: node.name, slots: filling.slots, span, comment })
        return
      default:
        this.statements.push(statementOf(node, filling, span, comment))
    }
  }
}

type StatementNode = Extract<LineNode, { kind: Statement['kind'] }>

/** A statement with its whole line's span and comment, and what its block holds. Written out, since a spread object is of a kind of its own each time (see DEVELOPERS.md). */
function statementOf(node: StatementNode, filling: Filling, span: Span, comment: string | null): Statement {
  switch (node.kind) {
    case 'sheet':
      return { kind: 'sheet', title: node.title, span, comment }
    case 'fact':
      return { kind: 'fact', name: node.name, value: node.value, error: node.error, span, comment }
    case 'lever':
      return { kind: 'lever', name: node.name, from: node.from, to: node.to, step: node.step, span, comment }
    case 'figure':
      return { kind: 'figure', name: node.name, value: node.value, span, comment }
    case 'target':
      return { kind: 'target', level: node.level, value: node.value, limit: node.limit, span, comment }
    case 'aim':
      return node.value === null
        ? { kind: 'aim', sense: node.sense, value: null, span, comment }
        : { kind: 'aim', sense: node.sense, value: node.value, span, comment }
    case 'show':
      return { kind: 'show', name: node.name, unit: node.unit, span, comment }
    case 'flight': {
      const { slots, parts } = filling
      return { kind: 'flight', name: node.name, body: node.body, slots, parts, span, comment }
    }
    case 'body':
      return { kind: 'body', name: node.name, slots: filling.slots, span, comment }
    case 'table': {
      const { kind, name, argument, file } = node
      return { kind, name, argument, rows: filling.rows, file, span, comment }
    }
    case 'variants':
      return { kind: 'variants', name: node.name, each: filling.each, file: node.file, span, comment }
  }
}

function placed(line: ReadLine, node: LineNode | null, level: number, indented: Indented): PlacedLine {
  const { number, text, indent, span, tokens, comment, problems } = line
  return { number, text, indent, span, tokens, node, comment, problems, level, indented }
}

/** What stands under a line without a block. */
const NOTHING: Filling = { slots: [], parts: [], rows: [], each: [] }

const DECLARING: ReadonlySet<string> = new Set([
  'Fact',
  'Lever',
  'Figure',
  'Table',
  'Body',
  'Flight',
  'Stage',
  'Parachute',
])

/** The names that a wrong line was to declare, as far as can be told. */
function namesOf(line: ReadLine): string[] {
  const [first, second] = line.tokens
  if (second?.type === 'Word' && DECLARING.has(first!.type)) return [second.text]
  if (first?.type !== 'Word') return []
  const blank = first.text.indexOf(' ')
  return blank < 0 ? [first.text] : [first.text, first.text.slice(blank + 1)]
}
