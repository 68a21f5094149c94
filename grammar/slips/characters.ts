import { error, type Problem } from '../source.ts'
import { type LineTokens, type Token, touches } from '../tokens.ts'
import { parseUnit } from '../units/unit.ts'
import { COMMENT } from './expressions.ts'

/** What is wrong with the first thing on a line that has no meaning anywhere in a sheet; null where all is well. */
export function strayProblem(line: LineTokens): Problem | null {
  const index = line.tokens.findIndex(token => token.type === 'Stray')
  if (index < 0) return null
  const stray = line.tokens[index]!
  if (stray.text === '!' && line.tokens[index + 1]?.type === 'Equals') return error(stray.span, ...SAID['≠']!)
  const [message, mend] =
    commentSlip(line.tokens, index) ??
    colonSlip(line.tokens, index) ??
    unitSlip(line.tokens, index) ??
    numberSlip(line.tokens, index) ??
    nameSlip(line.tokens, index) ??
    characterSlip(stray)
  return error(stray.span, message, mend)
}

type Told = readonly [message: string, mend: string]

/** Marks by which comments begin elsewhere, at the start of a line. */
function commentSlip(tokens: readonly Token[], index: number): Told | null {
  const { text } = tokens[index]!
  return index === 0 && /^(?:;|%|\/\/|!|')$/.test(text) ? [`A line does not begin with "${text}".`, COMMENT] : null
}

/** A colon after a first word or a lever's name, where no = is wanted. */
function colonSlip(tokens: readonly Token[], index: number): Told | null {
  if (tokens[index]!.text !== ':') return null
  if (index === 1) return ['":" has no meaning here.', 'Delete it.']
  if (tokens[0]!.type === 'Lever' && tokens[index + 1]?.type !== 'From')
    return ['":" has no meaning here.', 'Write from.']
  if (tokens[0]!.type === 'Lever') return ['":" has no meaning here.', 'Delete it.']
  return tokens[index + 1]?.type === 'Equals' ? ['":" has no meaning here.', 'Delete it.'] : null
}

/** `5 kg.m`: units joined by a point. */
function unitSlip(tokens: readonly Token[], index: number): Told | null {
  const [before, stray, after] = [tokens[index - 1], tokens[index]!, tokens[index + 1]]
  if (stray.text !== '.' || !before?.unit || after?.type !== 'Word' || !touches(stray, after)) return null
  const joined = `${before.unit.text}*${after.text}`
  return 'unit' in parseUnit(joined)
    ? ['Units are joined by *, not by a point.', `Write ${before.text} ${joined}.`]
    : null
}

/** `1_000`, `1'000` and the like. */
function numberSlip(tokens: readonly Token[], index: number): Told | null {
  const [before, stray, after] = [tokens[index - 1], tokens[index]!, tokens[index + 1]]
  if (before?.type !== 'Value' || before.unit || after?.type !== 'Value' || !"_'’".includes(stray.text)) return null
  return ['A number is written without marks between its digits.', `Write ${before.text}${after.text}.`]
}

/** `dry_mass`, `sea–level`: words of a name joined by a mark. */
function nameSlip(tokens: readonly Token[], index: number): Told | null {
  const [before, stray, after] = [tokens[index - 1], tokens[index]!, tokens[index + 1]]
  if (before?.type !== 'Word' || after?.type !== 'Word' || stray.span.length !== after.span.column - stray.span.column)
    return null
  if (!"_.–‐‑'’".includes(stray.text)) return null
  if (stray.text === '.' && tokens[index - 2]?.type === 'From') {
    return ['The name of a file stands in quotes.', `Write from "${before.text}.${after.text}".`]
  }
  const join = "'’".includes(stray.text) ? '' : ' '
  return [
    `A name is words of letters and digits, with blanks between them; "${stray.text}" is neither.`,
    `Write "${before.text}${join}${after.text}".`,
  ]
}

const SAID: Readonly<Record<string, Told>> = {
  '×': ['"×" is not a sign that is known here.', 'Write * to multiply.'],
  '·': ['"·" joins units only.', 'Write * to multiply.'],
  '⋅': ['"⋅" joins units only.', 'Write * to multiply.'],
  '÷': ['"÷" is not a sign that is known here.', 'Write / to divide.'],
  '**': ['"**" is not a sign that is known here.', 'Write ^ for a power.'],
  '√': ['"√" is not a sign that is known here.', 'Write sqrt( … ).'],
  '?': ['"?" has no meaning here.', 'Write if CONDITION then VALUE else VALUE.'],
  '@': ['"@" has no meaning here.', 'Write at.'],
  '==': ['Equality is written with one sign.', 'Write =.'],
  '≠': ['There is no sign for "not equal".', 'Write not A = B.'],
  '!': ['"!" has no meaning here.', 'Write not in front of a condition.'],
  '&': ['"&" has no meaning here.', 'Write and between conditions.'],
  '|': ['"|" has no meaning here.', 'Write or between conditions; the size of a number is abs( … ).'],
  '≈': ['"≈" is not a sign that is known here.', 'How sure a value is stands after it: 5 kg ± 1 kg.'],
  '~': ['"~" is not a sign that is known here.', 'How sure a value is stands after it: 5 kg ± 1 kg.'],
  '%': ['"%" follows a number.', 'To see a share in percent, write show NAME in %.'],
  '°': ['"°" follows a number.', 'An angle is a number with deg after it.'],
  ';': ['A statement ends with its line.', 'Put what follows on a line of its own.'],
  ':': ['":" has no meaning here.', 'Write = between a name and its value.'],
  '[': ['Square brackets have no meaning here.', 'Write ( and ).'],
  ']': ['Square brackets have no meaning here.', 'Write ( and ).'],
  '{': ['Braces have no meaning here.', 'Write ( and ).'],
  '}': ['Braces have no meaning here.', 'Write ( and ).'],
  '“': ['Quotes are straight in a sheet.', 'Write ".'],
  '”': ['Quotes are straight in a sheet.', 'Write ".'],
  '„': ['Quotes are straight in a sheet.', 'Write ".'],
  '«': ['Quotes are straight in a sheet.', 'Write ".'],
  '»': ['Quotes are straight in a sheet.', 'Write ".'],
  "'": ['"\'" has no meaning here.', 'Text stands in straight double quotes.'],
  '–': ['A dash is no sign here.', 'Write - to subtract, and to between the ends of a range.'],
  '—': ['A dash is no sign here.', 'Write - to subtract, # before a comment.'],
  '∞': [
    'A value without a finite number cannot be reckoned with.',
    'Leave it out, or write a number that is large enough.',
  ],
  _: ['A name is words of letters and digits, with blanks between them; "_" is neither.', 'Put a blank in its place.'],
  '//': ['"//" has no meaning here.', 'A comment begins with #.'],
  '\ufffd': ['A character here could not be read when the file was opened.', 'Save the sheet as UTF-8.'],
}

function characterSlip({ text }: Token): Told {
  if (text.startsWith('"')) return ['This quote is not closed.', 'Write " where the text ends.']
  const said = Object.hasOwn(SAID, text) ? SAID[text] : undefined
  if (said) return said
  if (/^[⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻]/.test(text)) return raisedSlip(text)
  if (/\p{Cs}/u.test(text)) return ['Half a character stands here; no program can show it.', 'Delete it.']
  if (/\p{C}|[\u2028\u2029\u200b]/u.test(text))
    return [`An invisible character (${codeOf(text)}) stands here.`, 'Delete it.']
  if (/\p{Nd}/u.test(text)) return ['Numbers are written with the digits 0 to 9.', 'Type it with those digits.']
  return [`"${text}" has no meaning here.`, 'Delete it; a comment begins with #.']
}

function raisedSlip(text: string): Told {
  const plain = [...text].map(each => '0123456789+-'['⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻'.indexOf(each)]).join('')
  return ['Raised digits belong to units only.', `Write ^${plain} for a power.`]
}

function codeOf(text: string): string {
  return `U+${text.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`
}
