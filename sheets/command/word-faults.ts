import type { CommanderError } from 'commander'

/** What is wrong with the words of the command and what mends it, in our words for each kind that commander tells of. */
export function wordFault({ code, message }: CommanderError): string {
  const [told = '', near] = message.replace(/^error: /, '').split('\n')
  const [first = '', second = '', third = ''] = [...told.matchAll(/'([^']*)'|(\d+)/g)].map(([all, word]) => word ?? all)
  const meant = /\(Did you mean (?:one of )?(.*)\?\)/.exec(near ?? '')?.[1]
  const mend = (words: string): string => (meant === undefined ? words : `Did you mean ${meant}?`)
  switch (code) {
    case 'commander.unknownCommand':
      return `"${quoted(told)}" is no verb. ${mend('loftsheet --help lists them.')}`
    case 'commander.unknownOption':
      return `"${quoted(told)}" is no option of this verb. ${mend('Its help, with --help behind the verb, lists them.')}`
    case 'commander.missingArgument':
      return first === 'name'
        ? 'A name is missing: what is to be worked out, behind the sheet.'
        : `A ${first} is missing: name the sheet, such as heron.loft, or - for standard input.`
    case 'commander.excessArguments':
      return `${first} takes ${second === '1' ? 'one word' : `${second} words`} besides its options, not ${third}. Words that belong together stand in quotes.`
    case 'commander.optionMissingArgument':
      return `${first.split(' ')[0]} takes something behind it: ${first}.`
    default:
      return told
  }
}

/** What stands between the quotes; it may hold quotes itself. */
function quoted(told: string): string {
  return told.slice(told.indexOf("'") + 1, told.lastIndexOf("'"))
}
