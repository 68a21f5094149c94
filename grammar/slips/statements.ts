import { slipsBetween } from '../nearest.ts'
import type { Problem } from '../source.ts'
import { parseUnit } from '../units/unit.ts'
import { eachSlip, fileSlip, flightSlip, rowSlip, sheetSlip, showSlip, tableSlip } from './others.ts'
import { here, isTarget, type Look, type Slip, wantsOperator, written } from './slip.ts'
import { aimSlip, joinedEnds, targetSlip } from './targets.ts'

/** What a line of its kind lacks, or has too much of. */
export const statementSlip: Look = slip => {
  const look = isTarget(slip) ? targetSlip : BY_HEAD[slip.head.type]
  return inchSlip(slip) ?? look?.(slip) ?? null
}

const BY_HEAD: Readonly<Record<string, Look>> = {
  Sheet: sheetSlip,
  Fact: valueSlip,
  Figure: valueSlip,
  Word: valueSlip,
  Lever: slip => (slip.at === 2 ? leverSlip(slip) : rangeSlip(slip)),
  Aim: aimSlip,
  Show: showSlip,
  Table: tableSlip,
  Flight: flightSlip,
  Variants: fileSlip,
  Each: slip => eachSlip(slip) ?? rangeSlip(slip),
  Value: rowSlip,
  Sign: rowSlip,
}

/** `5 in`: after a number the connective, never the inch. */
function inchSlip(slip: Slip): Problem | null {
  const { found, before, expected } = slip
  if (found?.type !== 'In' || before?.type !== 'Value' || before.unit || expected.has('In')) return null
  const message = 'After a number, "in" joins parts of a statement; it is not the inch.'
  return here(slip, message, `Write ${before.text} inch.`)
}

/** `NAME = EXPR` without its `=`. */
function valueSlip(slip: Slip): Problem | null {
  const { found, before, head } = slip
  if (found?.type === 'To' && before?.type === 'Value' && head.type === 'Fact' && slip.complete)
    return here(slip, 'A fact has one value.', 'What has a range is a lever; how sure a value is stands after ±.')
  if (!slip.expected.has('Equals') || wantsOperator(slip)) return null
  const name = before!.text
  if (found === null) return here(slip, `"${name}" is given no value.`, `Write ${name} = and its value.`)
  if (found.type === 'From') {
    const message = `A ${head.text} has one value; what has a range is a lever.`
    return here(slip, message, `Write lever instead of ${head.text}.`)
  }
  if (found.type === 'Comma' || found.type === 'And')
    return here(slip, `A line declares one ${head.text}.`, 'Write each on a line of its own.')
  if (found.type !== 'Value') return null
  const plain = name.replace(/ (?:is|equals|be)$/, '')
  const message = `The sign = is missing between "${plain}" and its value.`
  return here(slip, message, `Write ${plain} = ${written(slip, found)}.`)
}

function leverSlip(slip: Slip): Problem {
  const { found, before } = slip
  if (found?.type === 'Equals') {
    return here(slip, 'A lever has a range, not a value.', 'Write from … to …; a known value is a fact.')
  }
  if (before!.text.endsWith(' between')) {
    return here(slip, 'A range is written with "from" and "to".', 'Write from instead of between.')
  }
  if (found?.type === 'Value') {
    return here(slip, 'The word "from" is missing before the range.', `Write from ${written(slip, found)}.`)
  }
  const mend = 'Write from, the lower end, to, and the upper end after its name.'
  return here(slip, `The lever "${before!.text}" has no range.`, mend)
}

const STEPS = 'Write in steps of and the size of a step.'

/** Whether a word stands for `in steps of`, itself written wrong or not. */
function isStep(word: string): boolean {
  return (
    word === 'by' || (!('unit' in parseUnit(word)) && ['step', 'steps'].some(each => slipsBetween(word, each, 1) <= 1))
  )
}

/** `from A to B in steps of C`, of a lever or an `each` line. */
function rangeSlip(slip: Slip): Problem | null {
  const { found, expected, before } = slip
  if (expected.has('Steps')) return here(slip, 'After "in" the steps are told.', STEPS)
  if (before?.type === 'Steps') return here(slip, 'After "in steps" the word "of" is missing.', STEPS)
  if (!wantsOperator(slip)) return null
  const worded = found?.type === 'Word' && isStep(found.text.replace(/^(?:with|in) /, '').split(' ', 1)[0]!)
  const asUnit = (found?.type === 'Value' || found?.type === 'Of') && isStep(before?.unit?.text ?? '')
  if (worded || asUnit) return here(slip, 'Steps are written with "in steps of".', STEPS)
  if (expected.has('To')) {
    const joined = joinedEnds(slip)
    if (joined) return joined
    if (!found) return here(slip, 'The upper end of the range is missing.', 'Write to and the upper end.')
    if (found.type !== 'Value') return null
    return here(slip, 'The word "to" is missing between the ends of the range.', `Write to ${written(slip, found)}.`)
  }
  return expected.has('In') && !found ? here(slip, 'The steps are missing.', STEPS) : null
}
