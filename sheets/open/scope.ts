import type { Vocabulary } from '../../grammar/nearest.ts'
import { error, type Problem } from '../../grammar/source.ts'
import type { Statement } from '../../grammar/tree.ts'
import { BUILT_IN_BODIES } from './bodies.ts'
import { meant } from './meant.ts'

export type Declared = Extract<Statement, { kind: 'fact' | 'lever' | 'figure' | 'table' | 'body' | 'flight' }>
export type FlightStatement = Extract<Statement, { kind: 'flight' }>

/** What a sheet's names stand for. One name, one thing, whatever its kind. */
export interface Scope {
  readonly names: ReadonlyMap<string, Declared>
  readonly flights: readonly FlightStatement[]
  /** Names that wrong lines would have given: nothing more is said where they are used. */
  readonly lost: ReadonlySet<string>
}

const KIND_WORDS = {
  fact: 'a fact',
  lever: 'a lever',
  figure: 'a figure',
  table: 'a table',
  body: 'a body',
  flight: 'a flight',
}

/** Gathers the declarations; a name used twice is reported at the later place and the earlier one stands. */
export function gather(statements: readonly Statement[], problems: Problem[], lost: readonly string[] = []): Scope {
  const names = new Map<string, Declared>()
  const flights: FlightStatement[] = []
  for (const statement of statements) {
    if (!isDeclared(statement)) continue
    const { text, span } = statement.name
    const first = names.get(text)
    if (first) {
      problems.push(
        error(span, `The name "${text}" is used twice.`, `Give one of the two another name.`, [
          { ...first.name.span, message: `here it is ${KIND_WORDS[first.kind]}` },
        ]),
      )
      continue
    }
    if (statement.kind === 'body' && BUILT_IN_BODIES.has(text)) {
      problems.push(error(span, `${text} is built in.`, `Give the body another name, such as "my ${text}".`))
      continue
    }
    names.set(text, statement)
    if (statement.kind === 'flight') flights.push(statement)
  }
  return { names, flights, lost: new Set(lost.filter(name => !names.has(name))) }
}

function isDeclared(statement: Statement): statement is Declared {
  return statement.kind in KIND_WORDS
}

/** The nearest of the known names, as a mend, or null when unsure. */
export function didYouMean(word: string, known: Iterable<string> | Vocabulary): string | null {
  const found = meant(word, known)
  return found === null ? null : `Did you mean "${found}"?`
}

export { KIND_WORDS }
