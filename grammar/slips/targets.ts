import { nearest } from '../nearest.ts'
import { error, type Problem } from '../source.ts'
import { touches } from '../tokens.ts'
import { here, type Look, placeOf, type Slip, wantsOperator } from './slip.ts'

const LIMITS = 'Write at least, at most, within … to …, or equal to.'

/** What is wrong with the limit of a must, should or could. */
export const targetSlip: Look = slip => {
  const { found, before, expected } = slip
  if (expected.has('Least')) return senseSlip(slip)
  if (before?.type === 'Equal') return here(slip, 'After "equal" the word "to" is missing.', 'Write equal to.')
  if (!wantsOperator(slip)) return null
  if (!expected.has('At')) return expected.has('To') ? bandSlip(slip) : secondLimit(slip)
  if (found === null) return here(slip, 'This target has no limit.', LIMITS)
  if (found.type === 'Less') return here(slip, 'A target may stand at its limit; "<" does not.', 'Write at most.')
  if (found.type === 'Greater') return here(slip, 'A target may stand at its limit; ">" does not.', 'Write at least.')
  return wordedLimit(slip)
}

/** `at` without `least` or `most`. */
function senseSlip(slip: Slip): Problem {
  const word = firstWord(slip)
  const near = word && nearest(word, ['least', 'most'])
  const message = 'After "at" a target says "least" or "most".'
  return onFirstWord(slip, message, near ? `Write at ${near}.` : 'Write at least or at most.')
}

/** `from 30-100 %`, `from 30..100 %`, and bands so. */
export function joinedEnds(slip: Slip): Problem | null {
  const { found, tokens, at } = slip
  const dots = found?.type === 'Value' && found.text.startsWith('.') && slip.before && touches(slip.before, found)
  const [first, sign, last] = dots ? [slip.before, null, found] : [tokens[at - 3], tokens[at - 2], tokens[at - 1]]
  const dash = !found && sign?.text === '-' && /^(?:From|Within)$/.test(tokens[at - 4]?.type ?? '')
  if (!(dots || dash) || first?.type !== 'Value' || last?.type !== 'Value') return null
  const unit = last.unit ? ` ${last.unit.text}` : ''
  const [low, high] = [first.text.replace(/\.$/, ''), last.text.replace(/^\./, '')]
  const { line, column } = first.span
  const length = last.span.column + last.span.length - column
  const message = 'The ends of a range are joined by "to".'
  return error(
    { line, column, length },
    message,
    `Write ${low}${first.unit ? ` ${first.unit.text}` : unit} to ${high}${unit}.`,
  )
}

/** `within A` without its other end. */
function bandSlip(slip: Slip): Problem | null {
  const { found, before, tokens, at } = slip
  const joined = joinedEnds(slip)
  if (joined) return joined
  if (found === null) return here(slip, 'The upper end of the band is missing.', 'Write to and the upper end.')
  if (found.type === 'PlusMinus' && before?.type === 'Value' && tokens[at - 2]?.type === 'Within') {
    const message = 'A band has two ends; how far from a value it reaches is told by "equal to" and "±".'
    return error(tokens[at - 2]!.span, message, 'Write equal to instead of within.')
  }
  return found.type === 'And' ? here(slip, 'The ends of a band are joined by "to".', 'Write to instead of and.') : null
}

const LIMITING: ReadonlySet<string> = new Set([
  'Less',
  'LessEqual',
  'Greater',
  'GreaterEqual',
  'Equals',
  'At',
  'Within',
])

/** More where the limit is already whole. */
function secondLimit(slip: Slip): Problem | null {
  const type = slip.found?.type ?? ''
  if (LIMITING.has(type) || type === 'Equal') {
    const mend = 'Write within … to … for two ends, or another target on a line of its own.'
    return here(slip, 'A target has one limit.', mend)
  }
  const more = slip.tokens.slice(slip.at).some(token => token.type === 'At' || token.type === 'Within')
  if (type === 'Word' && more && /^(?:but|and|or|while|also)\b/.test(slip.found!.text))
    return here(
      slip,
      'A target has one limit.',
      'Write within … to … for two ends, or another target on a line of its own.',
    )
  if (type === 'To') return here(slip, 'A target with two ends is a band.', 'Write within … to ….')
  if (type !== 'And' && type !== 'Or') return null
  return here(slip, 'A target has one limit.', 'Write another target on a line of its own.')
}

/** Words that say a limit in another way, at the end of what was read as a name. */
const WORDED: readonly (readonly [RegExp, string])[] = [
  [/^not (?:below|under|less than)$/i, 'at least'],
  [/^not (?:above|over|more than)$/i, 'at most'],
  [/(?:^| )(?:not|no) (?:less|smaller|fewer) than$/i, 'at least'],
  [/(?:^| )(?:not|no) (?:more|greater|higher) than$/i, 'at most'],
  [/(?:^| )(?:at ?least|least|min|minimum|above|exceeds|(?:more|greater|higher) than)$/i, 'at least'],
  [/(?:^| )(?:at ?most|most|max|maximum|below|under|(?:less|smaller|lower) than)$/i, 'at most'],
  [/(?:^| )(?:between|inside|range)$/i, 'within … to …'],
  [/(?:^| )(?:is|equals|exactly)$/i, 'equal to'],
  [/(?:^| )(?:about|around|roughly|approximately|near)$/i, 'equal to, and ± with a tolerance after the value'],
]

function wordedLimit(slip: Slip): Problem | null {
  const { found, before } = slip
  if (found?.type === 'In' || found?.type === 'From') {
    return here(slip, `"${found.text}" does not begin a limit.`, 'Write within … to ….')
  }
  if (found?.type === 'Not') {
    const side =
      slip.after?.type === 'Word' ? WORDED.find(([pattern]) => pattern.test(`not ${slip.after!.text}`)) : null
    return here(slip, 'A target has no "not".', side ? `Write ${side[1]}.` : LIMITS)
  }
  if (found?.type === 'Over') return here(slip, '"over" does not begin a limit.', 'Write at least; to divide, write /.')
  if (found?.type !== 'Value' || before?.type !== 'Word') return null
  const worded = WORDED.find(([pattern]) => pattern.test(before.text))
  if (!worded) return here(slip, 'The words that make this number a limit are missing.', LIMITS)
  const words = worded[0].exec(before.text)![0].trim()
  const column = before.span.column + before.span.length - words.length
  return error(
    { ...before.span, column, length: words.length },
    `"${words}" does not begin a limit.`,
    `Write ${worded[1]}.`,
  )
}

/** What is wrong with an aim's way. */
export const aimSlip: Look = slip => {
  const { found, before, expected } = slip
  if (before?.type === 'Roomiest') {
    return here(slip, '"aim roomiest" stands alone; it is about all targets.', 'Write aim roomiest.')
  }
  if (!expected.has('Roomiest')) return null
  if (found?.type === 'At') return here(slip, 'An aim has no limit.', 'Write aim least or aim most, then the figure.')
  const word = firstWord(slip) ?? ''
  const message = 'An aim says which way: "least", "most" or "roomiest".'
  if (/^(?:min|minimum|minimal|lowest|smallest|fewest|minimi[sz]e)$/i.test(word))
    return onFirstWord(slip, message, 'Write aim least.')
  if (/^(?:max|maximum|maximal|highest|largest|maximi[sz]e)$/i.test(word))
    return onFirstWord(slip, message, 'Write aim most.')
  const near = nearest(word, ['least', 'most', 'roomiest'])
  return onFirstWord(slip, message, near ? `Write aim ${near}.` : 'Write aim least, aim most or aim roomiest.')
}

/** The first word of the name in the way, if it is one. */
function firstWord(slip: Slip): string | null {
  return slip.found?.type === 'Word' ? slip.found.text.split(' ', 1)[0]! : null
}

function onFirstWord(slip: Slip, message: string, mend: string): Problem {
  const place = placeOf(slip)
  const length = firstWord(slip)?.length ?? place.length
  return error({ ...place, length: Math.min(length, place.length) }, message, mend)
}
