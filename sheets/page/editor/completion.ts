import { FIRST_WORDS, FUNCTIONS } from '../../../grammar/words.ts'
import { BUILT_IN_BODIES } from '../../open/bodies.ts'
import { FIGURES } from '../../open/figures.ts'
import { BODY_SLOTS, FLIGHT_SLOTS, PARACHUTE_SLOTS, STAGE_SLOTS } from '../../open/slots.ts'
import { UNITS } from './units.ts'

/** What stands before the cursor. */
export interface Before {
  /** Its line so far. */
  readonly line: string
  readonly above: readonly string[]
  /** What has a name in the sheet as it was answered last. */
  readonly names: readonly string[]
  /** A key asks for it: then also where no letter is written yet. */
  readonly asked: boolean
}

/** Words that may stand here, in place of the last letters of the line. */
export interface Offer {
  readonly letters: number
  readonly words: readonly string[]
}

const named = (entries: readonly { readonly name: string }[]): readonly string[] => entries.map(({ name }) => name)

/** The lines of a block, by the first word of its head. */
const LINES: ReadonlyMap<string, readonly string[]> = new Map(
  Object.entries({
    flight: [...named([...FLIGHT_SLOTS, ...STAGE_SLOTS]), 'stage', 'parachute'],
    stage: named(STAGE_SLOTS),
    parachute: named(PARACHUTE_SLOTS),
    body: named(BODY_SLOTS),
    variants: ['each'],
    table: [],
  }),
)

/** Names that a flight takes from the sheet: these are worth declaring. */
const TAKEN = named([...STAGE_SLOTS, ...FLIGHT_SLOTS]).filter(name => name !== 'count' && name !== 'pitch')

/**
 * The words that help here, or null: what has a name of its own is the writer's to call, and where a word is written whole a key for the next
 * line is that, and takes nothing from a list.
 */
export function offered(before: Before): Offer | null {
  const { line } = before
  if (line.includes('#') || (line.split('"').length - 1) % 2 === 1) return null
  const block = line.startsWith(' ') || line.startsWith('\t') ? LINES.get(headOf(before)) : undefined
  if (block && !/=|^\s*(?:stage|parachute|each)\s/.test(line)) return among(before, line.trimStart(), block)
  const first = /^\s*(\p{L}*)$/u.exec(line)
  if (first) return among(before, first[1]!, FIRST_WORDS)
  const unit = /(?:\d |^\s*show .* in )([\p{L}%°/^*·0-9]*)$/u.exec(line)
  if (unit) return among(before, unit[1]!, UNITS)
  return inStatement(before, /\p{L}+/u.exec(line)?.[0] ?? '')
}

function inStatement(before: Before, kind: string): Offer | null {
  const { line } = before
  const name = /^\s*\p{L}+ +([^=]*)$/u.exec(line)?.[1]
  switch (kind) {
    case 'fact':
    case 'figure':
      return name === undefined ? nameOf(before) : among(before, name, free(before))
    case 'lever':
      if (/ from /.test(line)) return steps(before) ?? nameOf(before)
      return among(before, name ?? '', free(before)) ?? afterName(before, TAKEN, ['from'])
    case 'flight':
      return behind(before, / from $/, [...BUILT_IN_BODIES.keys(), ...bodies(before)])
    case 'aim':
      return behind(before, /^\s*aim +$/, ['least', 'most', 'roomiest']) ?? nameOf(before)
    case 'must':
    case 'should':
    case 'could':
      return (
        behind(before, / at $/, ['least', 'most']) ??
        longName(before) ??
        afterName(before, namesOf(before), ['at least', 'at most', 'within', 'equal to']) ??
        nameOf(before)
      )
    case 'show':
      return longName(before) ?? afterName(before, namesOf(before), ['in']) ?? nameOf(before)
    case 'each':
      return longName(before) ?? afterName(before, namesOf(before), ['over', 'from']) ?? nameOf(before)
    case 'sheet':
    case 'stage':
    case 'parachute':
    case 'body':
    case 'table':
      return null
    default:
      return nameOf(before)
  }
}

/** Those of the words that begin as it is written, unless one is written whole. */
function among({ line, asked }: Before, written: string, words: readonly string[]): Offer | null {
  if (words.includes(written) || (written === '' && !asked)) return null
  const fitting = words.filter(word => beginsSo(word, written))
  return fitting.length === 0 ? null : { letters: Math.min(written.length, line.length), words: fitting }
}

function beginsSo(word: string, written: string): boolean {
  return word.toLowerCase().startsWith(written.toLowerCase())
}

/** Words that follow on something: of the last word of the line no more than its letters are written. */
function behind(before: Before, ahead: RegExp, words: readonly string[]): Offer | null {
  const [, rest = '', written = ''] = /^(.*?)(\p{L}*)$/u.exec(before.line) ?? []
  return ahead.test(rest) ? among(before, written, words) : null
}

/** What may follow on the range of a lever. */
function steps(before: Before): Offer | null {
  const written = / to .*\d(?: [\p{L}%°]\S*)? (\p{L}[\p{L} ]*)$/u.exec(before.line)?.[1]
  return written === undefined ? null : among(before, written, ['in steps of'])
}

/** Words that follow on a whole name: "must peak g a" goes on with "at least" or "at most". */
function afterName(before: Before, names: readonly string[], words: readonly string[]): Offer | null {
  const [, ahead, written = ''] = /^(.*\S)\s+(\p{L}*)$/u.exec(before.line) ?? []
  return ahead !== undefined && names.some(name => ahead.endsWith(` ${name}`)) ? among(before, written, words) : null
}

/** A name or a function, by as many of its words as are written: "burnout al" begins one name. By one word alone those too that hold it. */
function nameOf(before: Before): Offer | null {
  const names = namesOf(before)
  const run = runOf(before.line)
  if (run === '') return among(before, '', [...names, ...FUNCTIONS])
  // A number has its unit by now: a sign has to come first.
  if (/\d(?: [\p{L}%°][^\s,)]*)? \p{L}+$/u.test(before.line)) return null
  if (names.some(name => run === name || run.endsWith(` ${name}`))) return null
  const last = run.split(' ').at(-1)!
  const words = [...names, ...FUNCTIONS.filter(each => each !== last)]
  const begun = longName(before) ?? among(before, last, words)
  if (begun || last.length < 2) return begun
  const inside = words.filter(word => word.split(' ').some(part => beginsSo(part, last)))
  return inside.length === 0 ? null : { letters: last.length, words: inside }
}

/** A name of which more than one word is begun. */
function longName(before: Before): Offer | null {
  const run = runOf(before.line)
  const names = namesOf(before)
  for (const { index } of run.matchAll(/(?<=^| )\S+ /g)) {
    const written = run.slice(index)
    // Whole with a blank behind it: it may go on, but most often does not.
    const offer = names.includes(written.trimEnd()) ? null : among(before, written, names)
    if (offer) return offer
  }
  return null
}

/** The words at the end of a line that may be one name. */
function runOf(line: string): string {
  return /\p{L}[\p{L}\p{N}]*(?: [\p{L}\p{N}]+)* ?$/u.exec(line)?.[0] ?? ''
}

/** Of a figure that has two names, "apoapsis" and "apoapsis of hop", the short one is enough. Before a flight is whole its figures are known as well. */
function namesOf({ names, line, above }: Before): readonly string[] {
  const flown = names.some(name => name.startsWith('apoapsis')) ? names : [...names, ...named(FIGURES)]
  const tables = above.flatMap(each => /^table +(.+?) +of /.exec(each)?.[1] ?? [])
  const limits = /crew limit *=/.test(line) ? ['launch crew limit', 'return crew limit', 'emergency crew limit'] : []
  const all = new Set([...flown, ...tables, ...limits])
  return [...all].filter(name => !name.includes(' of ') || !all.has(name.slice(0, name.indexOf(' of '))))
}

/** Names worth declaring that are not declared yet. */
function free({ names }: Before): readonly string[] {
  return TAKEN.filter(name => !names.includes(name))
}

function bodies({ above }: Before): readonly string[] {
  return above.flatMap(line => /^body +(.+?) *(?:#.*)?$/.exec(line)?.[1] ?? [])
}

/** The first word of the head under which an indented line stands. */
function headOf({ line, above }: Before): string {
  const deep = indentOf(line)
  const head = above.findLast(each => each.trim() !== '' && indentOf(each) < deep)
  return /\p{L}+/u.exec(head ?? '')?.[0] ?? ''
}

function indentOf(line: string): number {
  return line.length - line.trimStart().length
}
