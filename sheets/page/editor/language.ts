import { HighlightStyle, StreamLanguage, type StreamParser, syntaxHighlighting } from '@codemirror/language'
import { tags } from '@lezer/highlight'
import { CONNECTIVES, FIRST_WORDS, FUNCTIONS } from '../../../grammar/words.ts'

const FIRST: ReadonlySet<string> = new Set(FIRST_WORDS)
const JOINTS: ReadonlySet<string> = new Set([...CONNECTIVES, 'least', 'most', 'roomiest', 'steps'])
const CALLS: ReadonlySet<string> = new Set([...FUNCTIONS, 'pi'])

interface State {
  first: boolean
}

/** Just enough of the language to colour it; what it means is the worker's to say. */
const parser: StreamParser<State> = {
  startState: () => ({ first: true }),
  token(stream, state) {
    if (stream.sol()) state.first = true
    if (stream.eatSpace()) return null
    if (stream.match(/^#.*/)) return 'comment'
    if (stream.match(/^"[^"]*"?/)) return 'string'
    if (
      stream.match(
        /^[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?(?: ?(?:%|[\p{L}°µ]+(?:[\^*/·²³⁻0-9\p{L}().]|-(?=[0-9]))*))?/u,
        false,
      )
    ) {
      // A number takes its unit along, unless the word behind it is a connective.
      stream.match(/^[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?/)
      const unit = stream.match(/^ (?:%|[\p{L}°µ][\p{L}0-9^*/·²³()-]*)/u, false) as RegExpMatchArray | null
      if (unit && !JOINTS.has(unit[0].trim())) stream.match(unit[0])
      state.first = false
      return 'number'
    }
    const word = stream.match(/^\p{L}[\p{L}\p{N}]*/u) as RegExpMatchArray | null
    if (word) {
      const first = state.first
      state.first = false
      if (first && FIRST.has(word[0])) return 'keyword'
      if (JOINTS.has(word[0])) return 'modifier'
      if (CALLS.has(word[0]) && stream.match(/^\s*\(/, false)) return 'function'
      return 'name'
    }
    state.first = false
    stream.next()
    return 'operator'
  },
  tokenTable: {
    comment: tags.comment,
    string: tags.string,
    number: tags.number,
    keyword: tags.keyword,
    modifier: tags.modifier,
    function: tags.function(tags.name),
    name: tags.name,
    operator: tags.operator,
  },
  languageData: { commentTokens: { line: '#' } },
}

export const loft = StreamLanguage.define(parser)

/** Weight and slant carry it, as on a sheet of paper; no colour is needed to read it. */
export const dress = syntaxHighlighting(
  HighlightStyle.define([
    { tag: tags.keyword, fontWeight: '700' },
    { tag: tags.comment, color: 'var(--pencil)', fontStyle: 'italic' },
    { tag: tags.string, color: 'var(--ink)' },
    { tag: tags.modifier, color: 'var(--pencil)' },
    { tag: tags.number, color: 'var(--room)' },
  ]),
)
