import { nearest } from '../nearest.ts'
import type { Problem } from '../source.ts'
import type { Token } from '../tokens.ts'
import { here, isTarget, type Look, type Slip, wantsOperator, wantsValue, written } from './slip.ts'

/** What a line of its kind lacks, or has too much of. */
export const statementSlip: Look = slip => {
  if (isTarget(slip)) return targetSlip(slip)
  const look = BY_HEAD[slip.head.type]
  return look ? look(slip) : null
}

const BY_HEAD: Readonly<Record<string, Look>> = {
  Sheet: slip => {
    if (slip.found && slip.at > 1) return here(slip, 'The title ends with its quotes; nothing follows it.')
    const mend =
      slip.found?.type === 'Word'
        ? `Write sheet "${written(slip, slip.found, slip.tokens.at(-1)!)}".`
        : 'Write sheet "TITLE".'
    return here(slip, 'The title of a sheet stands in quotes.', mend)
  },
  Fact: slip => valueSlip(slip),
  Figure: slip => valueSlip(slip),
  Word: slip => valueSlip(slip),
  Lever: slip => (slip.at === 2 ? leverSlip(slip) : rangeSlip(slip)),
  Aim: slip => aimSlip(slip),
  Show: slip => showSlip(slip),
  Table: slip => tableSlip(slip),
  Flight: slip => flightSlip(slip),
  Variants: slip => fileSlip(slip),
  Each: slip => eachSlip(slip),
  Value: slip => rowSlip(slip),
  Sign: slip => rowSlip(slip),
}

/** `NAME = EXPR` without its `=`. */
function valueSlip(slip: Slip): Problem | null {
  const { found, before, head } = slip
  if (!slip.expected.has('Equals') || wantsOperator(slip)) return null
  const name = before!.text
  if (found === null) return here(slip, `"${name}" is given no value.`, `Write ${name} = and its value.`)
  if (found.type === 'From') {
    return here(
      slip,
      `A ${head.text} has one value; what has a range is a lever.`,
      `Write lever instead of ${head.text}.`,
    )
  }
  if (found.type !== 'Value') return null
  const plain = name.replace(/ (?:is|equals|be)$/, '')
  return here(
    slip,
    `The sign = is missing between "${plain}" and its value.`,
    `Write ${plain} = ${written(slip, found)}.`,
  )
}

function leverSlip(slip: Slip): Problem {
  const { found, before } = slip
  if (found?.type === 'Equals') {
    return here(slip, 'A lever has a range, not a value.', 'Write from … to …; a known value is a fact.')
  }
  return here(
    slip,
    `The lever "${before!.text}" has no range.`,
    'Write from, the lower end, to, and the upper end after its name.',
  )
}

/** `from A to B in steps of C`, of a lever or an `each` line. */
function rangeSlip(slip: Slip): Problem | null {
  const { found, expected, before } = slip
  const steps = 'Write in steps of and the size of a step.'
  if (expected.has('Steps')) return here(slip, 'After "in" the steps are told.', steps)
  if (expected.has('Of') && before?.type === 'Steps')
    return here(slip, 'After "in steps" the word "of" is missing.', steps)
  if (!wantsOperator(slip)) return null
  if (expected.has('In') && found && /^(?:in |with )?(?:steps?|by)\b/.test(found.text))
    return here(slip, 'Steps are written with "in steps of".', steps)
  if (found?.type === 'Value' && /^(?:by|steps?)$/.test(before?.unit?.text ?? '')) {
    return here(slip, 'Steps are written with "in steps of".', steps)
  }
  if (expected.has('To') && !expected.has('In') && !found)
    return here(slip, 'The upper end of the range is missing.', 'Write to and the upper end.')
  if (expected.has('In') && !found) return here(slip, 'Here the steps are missing.', steps)
  return null
}

const LIMITS = 'Write at least, at most, within … to …, or equal to.'

function targetSlip(slip: Slip): Problem | null {
  const { found, before, expected } = slip
  if (expected.has('Least') && expected.has('Most')) {
    const word = found?.type === 'Word' ? nearest(found.text.split(' ', 1)[0]!, ['least', 'most']) : null
    return here(
      slip,
      'After "at" a target says "least" or "most".',
      word ? `Write at ${word}.` : 'Write at least or at most.',
    )
  }
  if (before?.type === 'Equal') return here(slip, 'After "equal" the word "to" is missing.', 'Write equal to.')
  if (!wantsOperator(slip)) return null
  const limited = !expected.has('At')
  if (found?.type === 'Less' && !limited)
    return here(slip, 'A target holds at its limit too; "<" does not.', 'Write at most.')
  if (found?.type === 'Greater' && !limited)
    return here(slip, 'A target holds at its limit too; ">" does not.', 'Write at least.')
  if (limited && found && /^(?:Less|Greater|Equals|At$|Within|Equal$)/.test(found.type)) {
    return here(
      slip,
      'A target has one limit.',
      'Write within … to … for two ends, or another target on a line of its own.',
    )
  }
  if (limited && (found?.type === 'And' || found?.type === 'Or' || found?.type === 'Comma')) {
    if (!expected.has('To')) return here(slip, 'A target has one limit.', 'Write another target on a line of its own.')
  }
  if (limited && expected.has('To')) return bandSlip(slip)
  if (found === null && !limited) return here(slip, 'This target has no limit.', LIMITS)
  return limited ? null : wordedLimit(slip)
}

/** `within A` without its other end. */
function bandSlip(slip: Slip): Problem | null {
  const { found } = slip
  if (found === null) return here(slip, 'The upper end of the band is missing.', 'Write to and the upper end.')
  if (found.type === 'And') return here(slip, 'The ends of a band are joined by "to".', 'Write to instead of and.')
  return null
}

/** Words that say a limit in another way, at the end of what was read as a name. */
const WORDED: readonly (readonly [RegExp, string])[] = [
  [
    /(?:^| )(?:at ?least|least|min|minimum|above|exceeds|more than|greater than|not less than|no less than)$/i,
    'at least',
  ],
  [/(?:^| )(?:at ?most|most|max|maximum|below|under|up|less than|not more than|no more than)$/i, 'at most'],
  [/(?:^| )(?:between|inside|range)$/i, 'within … to …'],
  [/(?:^| )(?:is|equals|exactly)$/i, 'equal to'],
]

function wordedLimit(slip: Slip): Problem | null {
  const { found, before } = slip
  if (found?.type === 'In' || found?.type === 'From')
    return here(slip, `"${found.text}" does not begin a limit.`, 'Write within … to ….')
  if (found?.type === 'Over') return here(slip, '"over" does not begin a limit.', 'Write at least; to divide, write /.')
  if (found?.type !== 'Value' || before?.type !== 'Word') return null
  const worded = WORDED.find(([pattern]) => pattern.test(before.text))
  if (worded) return here(slip, `"${before.text.split(' ').at(-1)}" does not begin a limit.`, `Write ${worded[1]}.`)
  return here(slip, 'The word that makes this number a limit is missing.', LIMITS)
}

function aimSlip(slip: Slip): Problem | null {
  const { found, before, at, expected } = slip
  if (before?.type === 'Roomiest')
    return here(slip, '"aim roomiest" stands alone; it is about all targets.', 'Write aim roomiest.')
  if (at !== 1 || !expected.has('Roomiest')) return null
  if (found?.type === 'At') return here(slip, 'An aim has no limit.', 'Write aim least or aim most, then the figure.')
  const first = found?.type === 'Word' ? found.text.split(' ', 1)[0]! : ''
  if (/^(?:min|minimum|minimal|lowest|smallest|minimi[sz]e)$/i.test(first))
    return here(slip, 'An aim is "least" or "most".', 'Write aim least.')
  if (/^(?:max|maximum|maximal|highest|largest|maximi[sz]e)$/i.test(first))
    return here(slip, 'An aim is "least" or "most".', 'Write aim most.')
  const near = nearest(first, ['least', 'most', 'roomiest'])
  return here(
    slip,
    'An aim says which way: "least", "most" or "roomiest".',
    near ? `Write aim ${near}.` : 'Write aim least, aim most or aim roomiest.',
  )
}

function showSlip(slip: Slip): Problem | null {
  const { found, before, expected, at } = slip
  if (expected.has('Unit')) return here(slip, 'The unit to show it in is missing.', 'Write the unit after "in".')
  if (before?.type === 'Unit' && found) return here(slip, 'A unit holds no blanks and ends the line.')
  if (expected.has('Word') && at === 1)
    return here(slip, 'The name of what to show is missing.', 'Write show NAME in UNIT.')
  return expected.has('In') ? here(slip, 'The unit to show it in is missing.', 'Write in and the unit.') : null
}

function tableSlip(slip: Slip): Problem | null {
  const { found, at, tokens, expected } = slip
  if (at === 2)
    return here(
      slip,
      `The table "${tokens[1]!.text}" does not say of what.`,
      'Write of and what it is looked up by, such as of mach.',
    )
  if (found?.type === 'Equals')
    return here(slip, 'A table has rows, not a value.', 'Write its rows below it, indented.')
  if (expected.has('From') && found?.type === 'Value')
    return here(slip, 'The rows of a table stand below it, each on an indented line.')
  return fileSlip(slip)
}

function flightSlip(slip: Slip): Problem | null {
  const { at, tokens, found } = slip
  if (at === 2)
    return here(
      slip,
      `The flight "${tokens[1]!.text}" does not say from where.`,
      'Write from and the body, such as from Earth.',
    )
  return found?.type === 'Quoted' ? here(slip, 'A name is written without quotes.', `Write ${found.text}.`) : null
}

function fileSlip(slip: Slip): Problem | null {
  if (!slip.expected.has('Quoted') || wantsValue(slip)) return null
  return here(slip, 'The name of a file stands in quotes.', 'Write from "file.csv".')
}

function eachSlip(slip: Slip): Problem | null {
  const { expected, at, found } = slip
  if (at === 1) return here(slip, 'The name of what varies is missing.', 'Write each NAME over A, B, C.')
  if (expected.has('Over') && !wantsOperator(slip)) {
    const mend = 'Write over A, B, C or from A to B in steps of C.'
    return here(
      slip,
      'The values it takes in turn are missing.',
      found?.type === 'In' ? 'Write over instead of in.' : mend,
    )
  }
  return rangeSlip(slip)
}

function rowSlip(slip: Slip): Problem {
  const { found, inside, head } = slip
  if (!inside)
    return here(
      { ...slip, found: head as Token },
      'No line begins with a number, other than a row of a table, indented below it.',
    )
  return here(
    slip,
    'A row of a table is plain numbers side by side.',
    found?.type === 'Word' ? 'Write what it means in a comment: # ….' : null,
  )
}
