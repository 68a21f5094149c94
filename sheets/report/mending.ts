import type { Problem } from '../../grammar/source.ts'

/** Words that leave something to the writer: such a mend is advice, not a text to put in. */
const ADVICE =
  /…|\b(?:NAME|VALUE|CONDITION|TITLE|UNIT|[A-C]|X|T)\b| or |\b(?:and|after|another|its|each|if both|such as|unit|the (?:next|other|line))\b/

/** What a mend says to write: `words` in the place of the problem or about it, or in the place of the word `old` on that line. */
export interface Writing {
  readonly words: string
  readonly old: string | null
}

/** What a mend says to write; null where it is advice. No words: to delete the place. */
export function writingOf({ mend }: Problem): Writing | null {
  // One of a pair of quotes: the other has to be written too.
  if (mend === null || mend === 'Write ".') return null
  if (mend === 'Delete it.') return { words: '', old: null }
  const named = /^(?:Did you mean|Write|As a name, write) "([^"]+)"(?: for [^.]*)?[.?;]/.exec(mend)
  if (named) return { words: named[1]!, old: null }
  const repeated = /^Repeat the unit: (.+)\.$/.exec(mend)
  if (repeated) return { words: repeated[1]!, old: null }
  const exchanged = /^Write (\S+|equal to) instead of (\S+)\.$/.exec(mend)
  if (exchanged) return { words: exchanged[1]!, old: exchanged[2]! }
  const plain =
    /^Write (.+?)(?: in front of it| to multiply| to divide| for a power| where it should close| where the text ends)?\.(?: Or .*)?$/.exec(
      mend,
    )
  return plain && !ADVICE.test(plain[1]!) ? { words: plain[1]!, old: null } : null
}

/** The texts that a reader may make of a sheet by a mend: in the place itself, over whole words that touch it, beside it, at the line's end. */
export function mended(text: string, { line, column, length }: Problem, { words, old }: Writing): readonly string[] {
  const lines = text.split('\n')
  const own = lines[line - 1]!
  const whole = (changed: string): string => [...lines.slice(0, line - 1), changed, ...lines.slice(line)].join('\n')
  if (old !== null) return [whole(own.replace(new RegExp(`\\b${old}\\b`), words))]
  const [from, to] = [column - 1, column - 1 + length]
  const edges = [...own.matchAll(/\S+/g)].flatMap(each => [each.index, each.index + each[0].length])
  const starts = [from, ...edges.filter(edge => edge <= from).reverse(), own.length]
  const ends = [to, from, ...edges.filter(edge => edge >= from), own.length]
  return starts.flatMap(start =>
    ends
      .filter(end => end >= start)
      .flatMap(end => {
        const [head, tail] = [own.slice(0, start), own.slice(end)]
        const spaced = `${head.trimEnd()} ${words} ${tail.trimStart()}`.replace(/^ (?=\S)/, '')
        return [whole(head + words + tail), whole(spaced.trimEnd())]
      }),
  )
}
