import type { Answer, ConflictSetAnswer, TargetAnswer } from '../answer.ts'
import { listed } from './listed.ts'
import { type TargetWords, targetWords } from './target-words.ts'

/** The answer in one line: `verdict` in a sentence, and what else is to be said about the targets. */
export interface Verdict {
  readonly verdict: string
  readonly more: string
}

export function verdictOf(answer: Answer): Verdict {
  const rows = answer.targets.map(target => ({ target, words: targetWords(target, answer.quantities) }))
  switch (answer.outcome) {
    case 'solved':
      return { verdict: solvedWords(rows), more: limitWords(rows) }
    case 'conflict':
      return { verdict: conflictWords(answer), more: '' }
    case 'unsure':
      return { verdict: unsureWords(answer), more: '' }
    case 'faulty':
      return { verdict: 'The sheet needs mending before it can be solved.', more: '' }
  }
}

/** Whether the settings of an unsure answer meet what must be met: a search that was stopped early. */
export function meetsMusts({ outcome, targets }: Answer): boolean {
  return outcome === 'unsure' && targets.length > 0 && targets.every(({ level, met }) => met || level !== 'must')
}

function unsureWords(answer: Answer): string {
  return meetsMusts(answer)
    ? 'Unsure: these settings meet every must, and there may be better ones.'
    : 'Unsure: no settings found, and no proof that there are none.'
}

interface Row {
  readonly target: TargetAnswer
  readonly words: TargetWords
}

function solvedWords(rows: readonly Row[]): string {
  if (rows.length === 0) return 'Nothing is asked of this sheet yet. Add a target to any figure.'
  const short = rows.filter(row => !row.target.met)
  if (short.length === 0) return rows.length === 1 ? 'Solved: the target is met.' : 'Solved: every target is met.'
  const subjects = subjectsOf(short)
  const musts = rows.filter(row => row.target.level === 'must').length
  const met = musts === 0 ? 'there is no must' : musts === 1 ? 'the must is met' : 'every must is met'
  return `Solved: ${met}; ${listed(subjects)} ${subjects.length === 1 ? 'is' : 'are'} short.`
}

function limitWords(rows: readonly Row[]): string {
  const subjects = subjectsOf(rows.filter(row => row.words.state === 'at its limit'))
  if (subjects.length === 0) return ''
  const words = capital(listed(subjects))
  return subjects.length === 1 ? `${words} is at its limit.` : `${words} are at their limits.`
}

function conflictWords({ conflict }: Answer): string {
  const first = conflict?.sets[0]
  if (!first) return 'Conflict: the musts cannot all be met.'
  const words = thoseWords(first)
  return `Conflict: ${words.charAt(0).toLowerCase()}${words.slice(1)}.`
}

/**
 * "These three cannot all be met", "This one cannot be met", of the targets of a set; where starts were tried and not every
 * setting, no more than was seen: "No setting was found that meets these three together".
 */
export function thoseWords({
  targets,
  ranges,
  evidence,
  every,
}: Pick<ConflictSetAnswer, 'targets' | 'ranges' | 'evidence' | 'every'>): string {
  const within = ranges.length > 0 ? ' within the range of the levers' : ''
  const one = targets.length === 1
  if (evidence === 'searched' && !every)
    return `No setting was found${within} that meets ${one ? 'this one' : `these ${counted(targets.length)} together`}`
  return one ? `This one cannot be met${within}` : `These ${counted(targets.length)} cannot all be met${within}`
}

/** What may be missing from the sets of a conflict; nothing where all was looked for. Of one target, or where every setting was gone through, fewer are not too many. */
export function cutWords({ conflict }: Answer): string {
  if (!conflict || conflict.whole) return ''
  const { sets } = conflict
  const fewer = sets.some(({ targets, every }) => targets.length > 1 && !every)
  const them = sets.length === 1 && sets[0]!.targets.length === 1 ? 'it' : 'them'
  const words = fewer ? 'fewer of them may be too many already, and ' : ''
  return `The time was up before all of this was looked at: ${words}changes that would free ${them} may be missing.`
}

function subjectsOf(rows: readonly Row[]): readonly string[] {
  return [...new Set(rows.map(row => row.words.subject))]
}

/** A small count in a word, as it is read aloud. */
export function counted(count: number): string {
  return ['none', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'][count] ?? String(count)
}

export function capital(text: string): string {
  const first = String.fromCodePoint(text.codePointAt(0) ?? 32)
  return first.toLocaleUpperCase('en') + text.slice(first.length)
}
