import type { BlockKind } from './block-kind.ts'
import { type LineNode, lineSpan, readTokens } from './line.ts'
import type { SourceLine } from './lines.ts'
import { nodeProblems, numberProblems } from './rules.ts'
import { strayProblem } from './slips/characters.ts'
import { diagnose } from './slips/diagnose.ts'
import { error, type Problem, type Span } from './source.ts'
import { type LineTokens, STATEMENT_TOKENS, type Token, tokens } from './tokens.ts'

/** Parentheses, `if`s, signs and powers inside one another. */
export const NESTING = 100

/** A line as read by itself, before its place among the others is looked at. A line with a comment alone has no span. */
export interface ReadLine extends SourceLine {
  /** The whole line, comment apart. */
  readonly span: Span | null
  readonly tokens: readonly Token[]
  /** Null where the line says nothing or is wrong. */
  readonly node: LineNode | null
  readonly comment: string | null
  readonly problems: readonly Problem[]
}

/**
 * Reads one line. What is wrong with it stands in its problems; at least one where there is no node. `inside` is the
 * block that it stands in.
 */
export function readLine(line: SourceLine, inside: BlockKind): ReadLine {
  const found = tokens(line.text, line.number)
  const span = found.tokens.length > 0 ? lineSpan(found.tokens) : null
  const read = span ? readNode(found, line.text, inside) : { node: null, problems: [] }
  const { number, text, indent } = line
  return {
    number,
    text,
    indent,
    span,
    tokens: found.tokens,
    node: read.node,
    comment: found.comment,
    problems: read.problems,
  }
}

function readNode(line: LineTokens, text: string, inside: BlockKind): Pick<ReadLine, 'node' | 'problems'> {
  const { tokens } = line
  const problem = tooMuch(line) ?? strayProblem(line)
  if (problem) return { node: null, problems: [problem] }
  const read = readTokens(tokens)
  if ('stuck' in read) return { node: null, problems: [diagnose(line, text, inside, read.stuck)] }
  const problems = numberProblems(tokens)
  problems.push(...nodeProblems(read.node, tokens))
  return { node: problems.length > 0 ? null : read.node, problems }
}

/** More tokens, or deeper nesting, than a statement may have. Looked at before the grammar, whose cost grows with both. */
function tooMuch({ tokens, tooMany }: LineTokens): Problem | null {
  if (tooMany) {
    const message = `A statement holds ${STATEMENT_TOKENS} names, numbers and signs at most; this one holds more.`
    return error(tokens.at(-1)!.span, message, 'Divide it into several figures.')
  }
  const deep = tooDeep(tokens)
  if (deep === null) return null
  const message = `Here more than ${NESTING} parentheses, ifs, signs or powers stand inside one another.`
  return error(deep.span, message, 'Divide it into several figures.')
}

/** The first token nested too deep: parentheses and `if`s outside it, and signs and powers in one chain before it. */
function tooDeep(tokens: readonly Token[]): Token | null {
  const outside: (readonly [depth: number, chain: number])[] = []
  let [depth, chain] = [0, 0]
  let afterValue = false
  for (const token of tokens) {
    const prefix = token.type === 'Sign' && !afterValue
    afterValue = token.type === 'Word' || token.type === 'Value' || token.type === 'Close'
    if (token.type === 'Open') {
      outside.push([depth++, chain])
      chain = 0
    } else if (token.type === 'Close') {
      ;[depth, chain] = outside.pop() ?? [0, 0]
    } else if (token.type === 'If' || token.type === 'Not') depth++
    else if (prefix || token.type === 'Power') chain++
    else if (!afterValue) chain = 0
    if (depth + chain > NESTING) return token
  }
  return null
}
