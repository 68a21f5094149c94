import { error } from '../source.ts'
import { here, type Look, wantsOperator, written } from './slip.ts'

// Lines that state no quantity and no target: titles, display units, block heads and the lines of blocks.

export const sheetSlip: Look = slip => {
  const { found, at, tokens } = slip
  if (found && at > 1)
    return here(slip, 'The title ends with its quotes; nothing follows it.', 'Take out what follows.')
  const mend =
    found?.type === 'Word' ? `Write sheet "${written(slip, found, tokens.at(-1)!)}".` : 'Write sheet "TITLE".'
  return here(slip, 'The title of a sheet stands in quotes.', mend)
}

export const showSlip: Look = slip => {
  const { found, before, expected, at } = slip
  if (expected.has('Unit')) {
    if (found?.type === 'Value')
      return here(slip, 'After "in" the unit stands alone, without a number.', 'Take the number out.')
    return here(slip, 'The unit to show it in is missing.', 'Write the unit after "in".')
  }
  if (before?.type === 'Unit' && found)
    return here(slip, 'A unit holds no blanks and ends the line.', 'Take out what follows it, or join it by * or /.')
  if (at === 1) return here(slip, 'The name of what to show is missing.', 'Write show NAME in UNIT.')
  return expected.has('In') ? here(slip, 'The unit to show it in is missing.', 'Write in and the unit.') : null
}

export const tableSlip: Look = slip => {
  const { found, at, tokens, expected } = slip
  if (found?.type === 'Equals')
    return here(slip, 'A table has rows, not a value.', 'Write its rows below it, indented.')
  if (found?.type === 'Comma')
    return here(slip, 'A table is looked up by one thing.', 'Write another table for the other.')
  const argument = 'Write of and what it is looked up by, such as of mach.'
  if (at === 2) return here(slip, `The table "${tokens[1]!.text}" does not say of what.`, argument)
  if (at === 3) return here(slip, 'What the table is looked up by is missing.', argument)
  if (expected.has('From') && found?.type === 'Value') {
    return here(slip, 'The rows of a table stand below it, each on an indented line.', 'Move the numbers there.')
  }
  return fileSlip(slip)
}

export const flightSlip: Look = slip => {
  const { at, tokens, found } = slip
  const mend = 'Write from and the body, such as from Earth.'
  if (at === 2) return here(slip, `The flight "${tokens[1]!.text}" does not say from where.`, mend)
  if (found?.type === 'Quoted') return here(slip, 'A name is written without quotes.', `Write ${found.text}.`)
  if (at === 4 && (found?.type === 'Comma' || found?.type === 'And'))
    return here(slip, 'A flight starts from one body.', 'Write another flight on a line of its own.')
  return at === 3 ? here(slip, 'The body that the flight starts from is missing.', mend) : null
}

export const fileSlip: Look = slip => {
  if (!slip.expected.has('Quoted') || slip.expected.has('Value')) return null
  return here(slip, 'The name of a file stands in quotes.', 'Write from "file.csv".')
}

export const eachSlip: Look = slip => {
  const { expected, at, found } = slip
  if (at === 1) return here(slip, 'The name of what varies is missing.', 'Write each NAME over A, B, C.')
  if (!expected.has('Over') || wantsOperator(slip)) return null
  if (found && ['At', 'Within', 'Equal', 'GreaterEqual', 'LessEqual'].includes(found.type))
    return here(
      slip,
      'What varies is named alone, without a limit.',
      'Write each NAME over A, B, C, such as each peak g over 5 g0, 6 g0.',
    )
  const mend = found?.type === 'In' ? 'Write over instead of in.' : 'Write over A, B, C or from A to B in steps of C.'
  return here(slip, 'The values it takes in turn are missing.', mend)
}

export const rowSlip: Look = slip => {
  const { found, inside, head } = slip
  if (inside === 'sheet') {
    const message = 'No line begins with a number, other than a row of a table, indented below it.'
    return error(
      head.span,
      message,
      'Indent it under its table; any other line begins with a word such as fact or must.',
    )
  }
  const mend =
    found?.type === 'Word'
      ? 'Write what it means in a comment, after #.'
      : 'Take out all but the numbers and their units.'
  return here(slip, 'A row of a table is plain numbers side by side.', mend)
}
