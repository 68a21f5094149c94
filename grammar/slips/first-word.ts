import { nearest } from '../nearest.ts'
import { error } from '../source.ts'
import { FIRST_WORDS, type FirstWord } from '../words.ts'
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

/** A line at the top of a sheet that begins with a word that no line begins with. Inside a block any name may come first. */
export const firstWordSlip: Look = ({ head, inside, tokens }) => {
  if (head.type !== 'Word') return null
  const word = head.text.split(' ', 1)[0]!
  const place = { ...head.span, length: Math.min(head.span.length, word.length) }
  const meant = meantFirst(word)
  const declares = tokens[1]?.type === 'Equals'
  const misspelt = meant !== null && (!declares || head.text !== word)
  if (inside && (!misspelt || declares)) return null
  const message = `No line begins with "${shortened(word)}".`
  if (misspelt) return error(place, message, `Write ${meant}.`)
  if (declares) {
    return error(
      place,
      'A line begins with what it is, such as fact, lever or figure; this one begins with a name.',
      'Write fact or figure in front of it.',
    )
  }
  return error(place, `${message} A line begins with what it is, such as fact, lever, figure, must or flight.`, null)
}

/** The first word that was meant, or null where that is not clear. */
export function meantFirst(word: string): FirstWord | string | null {
  const habit = word.toLowerCase()
  return Object.hasOwn(HABITS, habit) ? HABITS[habit]! : nearest(word, FIRST_WORDS)
}
