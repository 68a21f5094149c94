import type { Stuck } from './line.ts'
import { error, type Problem } from './source.ts'
import type { LineTokens } from './tokens.ts'

export function strayProblem(line: LineTokens, _text: string): Problem | null {
  const stray = line.tokens.find(token => token.type === 'Stray')
  return stray ? error(stray.span, `The character "${stray.text}" has no meaning here.`) : null
}

export function diagnose(line: LineTokens, _text: string, stuck: Stuck): Problem {
  const token = line.tokens[stuck.at]
  const last = line.tokens.at(-1)!.span
  const span = token?.span ?? { line: last.line, column: last.column + last.length, length: 1 }
  return error(span, `Here ${[...stuck.expected].join(', ')} is expected.`)
}
