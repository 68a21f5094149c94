import type { BlockKind } from '../block-kind.ts'
import type { Stuck } from '../line.ts'
import type { Problem } from '../source.ts'
import type { LineTokens } from '../tokens.ts'
import { expressionSlip } from './expressions.ts'
import { firstWordSlip } from './first-word.ts'
import { declaredNameSlip, usedNameSlip } from './names.ts'
import { here, type Look, type Slip, slipOf, wantsOperator, wantsValue, written } from './slip.ts'
import { statementSlip } from './statements.ts'

/** From the most telling to the most general. */
const LOOKS: readonly Look[] = [firstWordSlip, declaredNameSlip, statementSlip, usedNameSlip, expressionSlip]

/** What is wrong with a line that the grammar could not read to its end. */
export function diagnose(line: LineTokens, text: string, inside: BlockKind, stuck: Stuck): Problem {
  const slip = slipOf(line.tokens, text, inside, stuck)
  for (const look of LOOKS) {
    const problem = look(slip)
    if (problem) return problem
  }
  return expectation(slip)
}

/** How the kinds of token are called where nothing better can be said. */
const CALLED: Readonly<Record<string, string>> = {
  Word: 'a name',
  Value: 'a number',
  Quoted: 'a text in quotes',
  Unit: 'a unit',
  Power: '"^"',
  PlusMinus: '"±"',
  Open: '"("',
  Close: '")"',
  Comma: 'a comma',
  Equals: '"="',
  Less: '"<"',
  LessEqual: '"<="',
  Greater: '">"',
  GreaterEqual: '">="',
}

/** What goes on an expression, or begins one: told as a value, or not at all. */
const EXPRESSION: ReadonlySet<string> = new Set(['Word', 'Value', 'Open', 'Sign', 'If', 'Times', 'Power', 'Of'])

/** What could have stood at the place, from the grammar's own state. */
function expectation(slip: Slip): Problem {
  const inside = wantsValue(slip) || wantsOperator(slip)
  const kinds = [...slip.expected].filter(kind => !inside || !EXPRESSION.has(kind))
  const wanted = kinds.map(kind => CALLED[kind] ?? `"${kind.toLowerCase()}"`)
  if (wantsValue(slip)) wanted.unshift('a value')
  if (slip.complete) wanted.push('the end of the line')
  if (wanted.length === 0) wanted.push('a sign such as +')
  const list = wanted
    .slice(0, 4)
    .join(', ')
    .replace(/, ([^,]*)$/, ' or $1')
  if (slip.found) {
    const words = written(slip, slip.found)
    const quoted = slip.found.type === 'Quoted' ? words : `"${words}"`
    return here(slip, `${quoted} cannot stand here; ${list} is expected.`, mendOfOther(slip, list))
  }
  return here(slip, `The line stops too early: ${list} is expected.`, `Add ${list}.`)
}

/** What mends a token that cannot stand at its place: it is too much, or what is wanted is missing before it. */
function mendOfOther({ complete, expected, after }: Slip, list: string): string {
  if (after ? expected.has(after.type) : complete) return 'Delete it.'
  return complete ? 'Delete it, or the rest of the line with it.' : `Put ${list} here.`
}
