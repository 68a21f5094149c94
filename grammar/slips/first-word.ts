import type { BlockKind } from '../block-kind.ts'
import { nearest } from '../nearest.ts'
import { error } from '../source.ts'
import { FIRST_WORDS } from '../words.ts'
import { COMMENT } from './expressions.ts'
import { type Look, shortened } from './slip.ts'

/** What people write first where a sheet has a word of its own. Common practice, no source. */
const HABITS: Readonly<Record<string, string>> = {
  let: 'fact',
  given: 'fact',
  known: 'fact',
  const: 'fact',
  constant: 'fact',
  input: 'fact',
  parameter: 'fact',
  variable: 'lever',
  var: 'lever',
  free: 'lever',
  choose: 'lever',
  output: 'figure',
  define: 'figure',
  goal: 'must',
  target: 'must',
  require: 'must',
  shall: 'must',
  prefer: 'should',
  may: 'could',
  minimise: 'aim least',
  minimize: 'aim least',
  maximise: 'aim most',
  maximize: 'aim most',
  title: 'sheet',
  planet: 'body',
  world: 'body',
  display: 'show',
}

const BEGIN = 'Begin it with what it is, such as fact, lever, figure, must or flight.'

/** A line that begins with a word that no line of its place begins with. In most blocks any name may come first. */
export const firstWordSlip: Look = ({ head, inside, tokens, at }) => {
  const mark = head.type === 'Times' || (head.type === 'Sign' && tokens[1]?.type !== 'Value')
  if (mark && inside !== 'table') return error(head.span, `A line does not begin with "${head.text}".`, COMMENT)
  if (head.type === 'From' && tokens[1]?.type === 'Quoted' && (inside === 'variants' || inside === 'table')) {
    const [first, behind] = inside === 'table' ? ['the table', 'table NAME of ARGUMENT'] : ['"variants"', 'variants']
    const written = `from "${tokens[1].text}"`
    return error(
      head.span,
      `A file has no line of its own: it stands behind ${first}.`,
      `Put it there: ${behind} ${written}.`,
    )
  }
  if (at === 0 && head.type !== 'Word')
    return error(head.span, `No line begins with "${shortened(head.text)}".`, inside === 'sheet' ? BEGIN : 'Delete it.')
  if (head.type !== 'Word') return null
  const word = head.text.split(' ', 1)[0]!
  const place = { ...head.span, length: Math.min(head.span.length, word.length) }
  const declares = tokens[1]?.type === 'Equals'
  if (inside === 'table') {
    const message = 'A row of a table is plain numbers side by side.'
    return error(place, message, 'Write what they mean in a comment, after #.')
  }
  if (inside !== 'sheet' && declares) return null
  const meant = declares && head.text === word ? null : meantFirst(word, WORDS[inside] ?? [])
  if (meant !== null) return error(place, `No line begins with "${shortened(word)}".`, `Write ${meant}.`)
  if (inside === 'variants')
    return error(place, 'A line of variants begins with "each".', 'Write each NAME over A, B, C.')
  if (inside !== 'sheet') return null
  const examples = declares ? 'fact, lever or figure' : 'fact, lever, figure, must or flight'
  const message = `A line begins with what it is, such as ${examples}; this one begins with "${shortened(word)}".`
  return error(
    place,
    message,
    declares ? 'Write fact or figure in front of it.' : 'Begin it with such a word, or with # if it is a comment.',
  )
}

/** The words that a line may begin with, where it stands. */
const WORDS: Readonly<Partial<Record<BlockKind, readonly string[]>>> = {
  sheet: FIRST_WORDS,
  flight: ['stage', 'parachute'],
  variants: ['each'],
}

/** The first word that was meant, or null where that is not clear. */
export function meantFirst(word: string, words: readonly string[]): string | null {
  const habit = word.toLowerCase()
  if (words === FIRST_WORDS && Object.hasOwn(HABITS, habit)) return HABITS[habit]!
  return nearest(word, words)
}
