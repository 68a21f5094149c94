import { error, type Problem } from '../source.ts'
import { touches } from '../tokens.ts'
import type { Expression } from '../tree.ts'
import { here, isConnectiveToken, type Look, type Slip, wantsOperator, written } from './slip.ts'

const DECLARES: ReadonlySet<string> = new Set([
  'Fact',
  'Lever',
  'Figure',
  'Table',
  'Body',
  'Flight',
  'Stage',
  'Parachute',
])

/** A name that is missing or not one, where a line declares it. */
export const declaredNameSlip: Look = slip => {
  const { head, found, at, tokens } = slip
  if (DECLARES.has(head.type) && at === 1) return noName(slip)
  const name = tokens[at - 1]
  const first = head.type === 'Word' ? 1 : DECLARES.has(head.type) ? 2 : -1
  if (at !== first || !found || name?.type !== 'Word') return null
  if (isConnectiveToken(found)) {
    // Without the sign that ends a name further on, this is another kind of mistake: `fact x from 1 to 2`.
    const goesOn = slip.complete || tokens.slice(at).some(token => slip.expected.has(token.type))
    return goesOn ? connectiveInName(slip, at) : null
  }
  const next = tokens[at + 1]
  if (found.type === 'Sign' && next?.type === 'Word' && touches(name, found)) {
    return here(
      slip,
      `A name is words of letters and digits, with blanks between them; "${found.text}" is neither.`,
      `Write "${name.text} ${next.text}".`,
    )
  }
  if (found.type === 'Value' && tokens.slice(at).some(token => slip.expected.has(token.type))) {
    const last = next?.type === 'Word' ? next : found
    const whole = `${name.text}${written(slip, found, last)}`
    return here(
      slip,
      'Each word of a name begins with a letter.',
      /^[\p{L}\d ]+$/u.test(whole) ? `Write "${whole}".` : 'Begin each of its words with a letter.',
    )
  }
  if (found.type !== 'Open') return null
  return here(
    slip,
    'A sheet cannot declare functions of its own.',
    'Write a table for a function of one quantity, or the formula where it is needed.',
  )
}

const OTHER_WORD = 'Leave it out of the name, or put another word in its place.'

/** The connective that follows the name, in lines that have one. */
const AFTER_NAME: Readonly<Record<string, string>> = { Lever: 'From', Flight: 'From', Table: 'Of' }

function noName(slip: Slip): Problem {
  const { head, found } = slip
  if (found?.type === 'Quoted') return here(slip, 'A name is written without quotes.', `Write ${found.text}.`)
  if (found?.type === 'Value')
    return here(slip, 'A name begins with a letter, not with a digit.', 'Begin it with a word.')
  if (found && isConnectiveToken(found) && found.type !== AFTER_NAME[head.type]) {
    return here(slip, `The word "${found.text}" joins parts of a statement, so it cannot be in a name.`, OTHER_WORD)
  }
  return here(slip, `This ${head.text} has no name.`, `Write its name after "${head.text}".`)
}

const JOINS_CONDITIONS: ReadonlySet<string> = new Set(['If', 'Then', 'Else', 'And', 'Or', 'Not'])

/** A connective between two words where an expression could have gone on: "time to apoapsis". */
export const usedNameSlip: Look = slip => {
  const { found, before, after, at } = slip
  if (!wantsOperator(slip) || !found || before?.type !== 'Word' || after?.type !== 'Word') return null
  const other = !isConnectiveToken(found) || found.type === 'Of' || JOINS_CONDITIONS.has(found.type)
  return other ? null : connectiveInName(slip, at)
}

/** The error about the connective at `at`, with a form of the whole name that works. */
function connectiveInName(slip: Slip, at: number): Problem {
  const parts: string[] = [slip.tokens[at - 1]!.text]
  const joints: string[] = []
  for (let next = at; isConnectiveToken(slip.tokens[next]); next += 2) {
    const right = slip.tokens[next + 1]
    if (right?.type !== 'Word' || slip.expected.has(slip.tokens[next]!.type)) break
    joints.push(slip.tokens[next]!.text)
    parts.push(right.text)
  }
  const connective = slip.tokens[at]!
  const divides = joints[0] === 'over' ? 'To divide, write /. ' : ''
  const mend = joints.length > 0 ? `${divides}As a name, write "${withoutConnectives(parts, joints)}".` : OTHER_WORD
  return error(
    connective.span,
    `The word "${written(slip, connective)}" joins parts of a statement, so it cannot be in a name.`,
    mend,
  )
}

/** A name that works for one with connectives: "time to apoapsis" is "apoapsis time", "lift and drag" is "lift drag". */
export function withoutConnectives(parts: readonly string[], joints: readonly string[]): string {
  const whole = /(?:ratio|rate|factor|share)$/.test(parts.at(-1)!)
  const turns = !whole && joints.every(each => ['to', 'of', 'in', 'at', 'from'].includes(each))
  return (turns ? [...parts].reverse() : parts).join(' ')
}

/**
 * The name that a subtraction was perhaps meant to be: "max q" for `max-q`, written without blanks. Null for any other
 * expression. Legal where both names are known, so it is for whoever finds one unknown to offer it.
 */
export function hyphenatedName(expression: Expression): string | null {
  if (expression.kind !== 'binary' || expression.operator !== '-') return null
  const { left, right } = expression
  if (right.kind !== 'reference' || right.of !== null) return null
  const start = left.kind === 'reference' ? (left.of === null ? left.name.text : null) : hyphenatedName(left)
  const end = left.span.column + left.span.length
  return start !== null && left.span.line === right.span.line && right.span.column === end + 1
    ? `${start} ${right.name.text}`
    : null
}
