import { error, type Problem } from '../source.ts'
import { type Token, touches } from '../tokens.ts'
import { parseUnit } from '../units/unit.ts'
import { FUNCTIONS } from '../words.ts'
import { here, isConnectiveToken, isTarget, type Look, type Slip, wantsOperator, wantsValue, written } from './slip.ts'

/** For the marks by which comments begin elsewhere. */
export const COMMENT = 'A comment begins with #.'

const VALUE_THERE = 'Put a number or a name there.'

const IF_FORM = 'Write if CONDITION then VALUE else VALUE.'

/** What is wrong inside an expression. */
export const expressionSlip: Look = slip => {
  if (wantsValue(slip)) return valueSlip(slip)
  return wantsOperator(slip) ? operatorSlip(slip) : null
}

/** No value where one must stand. */
function valueSlip(slip: Slip): Problem | null {
  const { found, before, tokens, at } = slip
  if (found?.text === '/' && before?.text === '/' && touches(before, found))
    return error({ ...before.span, length: 2 }, '"//" has no meaning here.', COMMENT)
  if (found?.type === 'Not' && isTarget(slip))
    return here(
      slip,
      'A target says what is wanted; it has no "not".',
      'Write the other limit: at most for not at least.',
    )
  if (found?.type === 'Quoted')
    return here(slip, 'Text in quotes is no value.', 'Write a number with its unit, or a name without quotes.')
  if (found?.type === 'If')
    return here(
      slip,
      'An "if" inside a larger expression stands in parentheses.',
      'Write ( before it and ) after its end.',
    )
  if (before?.type === 'Open' && found?.type === 'Close') {
    const called = tokens[at - 2]?.type === 'Word' ? `after "${tokens[at - 2]!.text}" ` : ''
    return here(slip, `The parentheses ${called}hold nothing.`, 'Write a value between them.')
  }
  if (found === null && before) return here(slip, `A value is missing after "${written(slip, before)}".`, VALUE_THERE)
  if (before && found && (isMark(found) || isConnectiveToken(found))) {
    const message = `A value is missing between "${written(slip, before)}" and "${written(slip, found)}".`
    return here(slip, message, VALUE_THERE)
  }
  return null
}

function isMark(token: Token): boolean {
  return /^(?:Sign|Times|Power|PlusMinus|Close|Comma|Equals|Less|LessEqual|Greater|GreaterEqual)$/.test(token.type)
}

/** Something where the expression should have ended or gone on with a sign. */
function operatorSlip(slip: Slip): Problem | null {
  const { found } = slip
  if (found === null) return unfinished(slip)
  if (found.type === 'Close')
    return here(slip, 'This parenthesis closes nothing.', 'Delete it, or write ( where it should open.')
  if (found.type === 'Comma') return commaSlip(slip)
  if (found.type === 'And' && slip.head.type === 'Aim')
    return here(slip, 'A line holds one aim.', 'Write the next aim on a line of its own; earlier ones come first.')
  if (found.type === 'Of') return ofSlip(slip)
  if (found.type === 'If') return here(slip, 'An "if" comes first in its expression.', IF_FORM)
  if (slip.expected.has('Then')) {
    if (/^(?:Less|Greater|Equals)/.test(found.type))
      return here(slip, 'A condition compares two values; here a third follows.', 'Write A < B and B < C.')
    return here(slip, 'The "then" of this "if" is missing.', IF_FORM)
  }
  if (slip.expected.has('Else')) return here(slip, 'The "else" of this "if" is missing.', IF_FORM)
  if (found.type === 'Then' || found.type === 'Else') return strayBranch(slip, found)
  if (/^(?:Less|Greater|Equals)/.test(found.type) || found.type === 'And' || found.type === 'Or')
    return comparisonSlip(slip, found)
  if (found.type === 'PlusMinus') {
    const mend = `Delete it and what follows it${isTarget(slip) ? ', or give the limit by "equal to"' : ''}.`
    return here(slip, '"±" stands only in a fact, and in a target with "equal to".', mend)
  }
  if (found.type === 'Value' || found.type === 'Word' || found.type === 'Open') return neighbours(slip, found)
  return null
}

/** The line ends inside parentheses or an `if`. */
function unfinished(slip: Slip): Problem | null {
  if (slip.expected.has('Close')) {
    const open = lastOpen(slip.tokens)
    if (open) return error(open.span, 'This parenthesis is not closed.', 'Write ) where it should close.')
  }
  if (slip.expected.has('Then')) return here(slip, 'The "then" of this "if" is missing.', IF_FORM)
  if (slip.expected.has('Else')) return here(slip, 'The "else" of this "if" is missing.', IF_FORM)
  if (slip.expected.has('Less'))
    return here(slip, 'A condition compares two values; here is only one.', 'Write a comparison such as A < B.')
  return null
}

function lastOpen(tokens: readonly Token[]): Token | undefined {
  const open: Token[] = []
  for (const token of tokens) {
    if (token.type === 'Open') open.push(token)
    else if (token.type === 'Close') open.pop()
  }
  return open.at(-1)
}

function strayBranch(slip: Slip, found: Token): Problem {
  if (slip.expected.has('Less'))
    return here(slip, 'A condition compares two values; here is only one.', 'Write a comparison such as A < B.')
  return here(slip, `This "${found.text}" belongs to no "if".`, IF_FORM)
}

/** `1,000` and `1,5`, or a comma outside a list. */
function commaSlip(slip: Slip): Problem {
  const { before, found, after, tokens, at } = slip
  if (
    before?.type === 'Value' &&
    !before.unit &&
    after?.type === 'Value' &&
    touches(before, found!) &&
    touches(found!, after)
  ) {
    let digits = before.text
    let groups = /^\d{1,3}$/.test(before.text)
    let index = at
    for (; tokens[index]?.type === 'Comma' && tokens[index + 1]?.type === 'Value'; index += 2) {
      digits += tokens[index + 1]!.text
      groups &&= /^\d{3}(?:\.\d+)?$/.test(tokens[index + 1]!.text)
    }
    const once = index === at + 2
    const decimal = `${before.text}.${after.text}`
    const mend = !groups
      ? once
        ? `Write ${decimal}.`
        : 'Keep one mark, a point before the fraction.'
      : once && !after.text.includes('.')
        ? `Write ${digits}, or ${decimal} if the comma parts a fraction.`
        : `Write ${digits}.`
    return here(slip, 'A number is written without commas.', mend)
  }
  if (after?.type === 'Then' || after?.type === 'Else')
    return here(slip, `No comma stands before "${after.text}".`, 'Delete it.')
  if (before && !after) return here(slip, 'No comma stands at the end of a line.', 'Delete it.')
  return here(
    slip,
    'A comma stands only between the values of a function, of a table row and of an "each" line.',
    'Put a sign such as + in its place, or delete the rest of the line.',
  )
}

function ofSlip(slip: Slip): Problem {
  const { before, after } = slip
  if (before?.type === 'Value') {
    const percent = before.unit?.text === '%' && after?.type === 'Word'
    if (before.unit?.text === '%' && after?.type === 'Value' && slip.tokens[slip.at - 2]?.type === 'Within')
      return error(
        slip.tokens[slip.at - 2]!.span,
        'A band has two ends; how far from a value it reaches is told by "equal to" and "±".',
        `Write equal to ${written(slip, after)} ± ${written(slip, before)}.`,
      )
    return here(
      slip,
      'The word "of" joins a figure to its flight; it does not multiply.',
      percent ? `Write ${written(slip, before)} * ${after.text}.` : 'Write * to multiply.',
    )
  }
  if (before?.type === 'Word')
    return here(slip, 'One "of" follows a name, no more.', 'Keep one of them, as in apoapsis of hop.')
  return here(slip, 'The word "of" follows the name of a figure.', 'Put the figure before it, as in apoapsis of hop.')
}

function comparisonSlip(slip: Slip, found: Token): Problem | null {
  if (isTarget(slip)) return null
  if (
    found.type === 'Equals' &&
    (slip.head.type === 'Fact' || slip.head.type === 'Figure' || slip.head.type === 'Word')
  ) {
    return here(
      slip,
      'This line has a second =.',
      'Write one relation a line; a comparison stands between "if" and "then".',
    )
  }
  return here(slip, `"${found.text}" stands only in a condition, between "if" and "then".`, IF_FORM)
}

const functions: ReadonlySet<string> = new Set(FUNCTIONS)

/** Two values side by side with no sign between them. */
function neighbours(slip: Slip, found: Token): Problem {
  const before = slip.before!
  const left = written(slip, before)
  const right = written(slip, found)
  const message = `Between "${left}" and "${right}" a sign is missing.`
  if (before.type === 'Value' && found.type === 'Value') return here(slip, ...numbers(before, found, message))
  if (before.type === 'Value' && before.unit && found.type === 'Word') {
    return here(slip, ...afterUnit(before.text, before.unit.text, found.text, message))
  }
  if (before.type === 'Value' && found.type === 'Open' && slip.after?.type === 'Word' && !touches(before, found))
    return here(slip, 'What stands in parentheses here is no part of the value.', 'Write it as a comment, after #.')
  const lastWord = before.type === 'Word' ? before.text.split(' ').at(-1)! : ''
  if (functions.has(lastWord) && found.type === 'Value') {
    return here(slip, `What "${lastWord}" is taken of stands in parentheses.`, `Write ${lastWord}(${right}).`)
  }
  const maybeName = before.type === 'Word' && found.type === 'Value' && !touches(before, found)
  const mend = 'Write a sign such as * or +.'
  return here(slip, message, maybeName ? `${mend} If it is one name: each of its words begins with a letter.` : mend)
}

function isUnit(text: string): boolean {
  return 'unit' in parseUnit(text)
}

type Told = readonly [message: string, mend: string]

function numbers(before: Token, found: Token, message: string): Told {
  if (!before.unit && /^\d+$/.test(before.text) && /^\d{3}$/.test(found.text)) {
    const unit = found.unit ? ` ${found.unit.text}` : ''
    return ['A number is written without blanks.', `Write ${before.text}${found.text}${unit}.`]
  }
  if (touches(before, found)) return ['A number has one decimal point.', 'Keep one of the points.']
  return [message, 'Write a sign such as * or +.']
}

/** A word after a number with its unit: a unit with blanks in it, or a name that was to be multiplied. */
function afterUnit(number: string, unit: string, word: string, message: string): Told {
  const joined = /^(.*?)([*/])(\p{L}[\p{L}\d]*)$/u.exec(unit)
  if (joined) {
    const [, real, sign, name] = joined
    return [
      'A unit ends at a blank, not before.',
      `If "${name} ${word}" is a name, write ${number} ${real} ${sign} ${name} ${word}.`,
    ]
  }
  const per = /^per (\p{L}+)$/u.exec(word)
  if (per && isUnit(`${unit}/${per[1]!}`))
    return ['A unit is written with signs.', `Write ${number} ${unit}/${per[1]!}.`]
  if (!isUnit(unit))
    return [`"${unit}" is no unit, so a sign is missing after ${number}.`, `Write ${number} * ${unit} ${word}.`]
  if (isUnit(word))
    return [
      'A unit holds no blanks.',
      `Write ${number} ${unit}*${word} if both are units; else write * after the unit.`,
    ]
  if (unit === '%') return [message, `Write ${number} % * ${word}.`]
  return [message, 'After a number the first word is its unit; write a sign such as * after it.']
}
