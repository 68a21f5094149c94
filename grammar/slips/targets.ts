import { nearest } from '../nearest.ts'
import { error, type Problem } from '../source.ts'
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

/** `within A` without its other end. */
function bandSlip(slip: Slip): Problem | null {
  const { found } = slip
  if (found === null) return here(slip, 'The upper end of the band is missing.', 'Write to and the upper end.')
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
  if (type === 'To') return here(slip, 'A target with two ends is a band.', 'Write within … to ….')
  if (type !== 'And' && type !== 'Or') return null
  return here(slip, 'A target has one limit.', 'Write another target on a line of its own.')
}

/** Words that say a limit in another way, at the end of what was read as a name. */
const WORDED: readonly (readonly [RegExp, string])[] = [
  [/(?:^| )(?:not|no) (?:less|smaller|fewer) than$/i, 'at least'],
  [/(?:^| )(?:not|no) (?:more|greater|higher) than$/i, 'at most'],
  [/(?:^| )(?:at ?least|least|min|minimum|above|exceeds|(?:more|greater|higher) than)$/i, 'at least'],
  [/(?:^| )(?:at ?most|most|max|maximum|below|under|(?:less|smaller|lower) than)$/i, 'at most'],
  [/(?:^| )(?:between|inside|range)$/i, 'within … to …'],
  [/(?:^| )(?:is|equals|exactly)$/i, 'equal to'],
]

function wordedLimit(slip: Slip): Problem | null {
  const { found, before } = slip
  if (found?.type === 'In' || found?.type === 'From') {
    return here(slip, `"${found.text}" does not begin a limit.`, 'Write within … to ….')
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
  if (/^(?:min|minimum|minimal|lowest|smallest|minimi[sz]e)$/i.test(word))
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
