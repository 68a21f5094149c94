import type { Problem } from '../../grammar/source.ts'
import { widthOf } from '../../grammar/width.ts'
import type { CheckAnswer } from '../answer.ts'
import { type Line, piece, TIE, wrap } from './marked.ts'
import { spaced, titleLine } from './solve-report.ts'

const STOP = 14

/**
 * What a check found: what is known, what is free, what is worked out, what is asked for, what is left over, and what is so and may be
 * meant. Problems are told apart.
 */
export function checkReport(answer: CheckAnswer, file: string, title: string, width = 80): readonly Line[] {
  const parts = [
    namesLines('known', answer.known, width),
    namesLines('levers', answer.levers, width),
    namesLines('worked out', answer['worked out'], width),
    answer.targets
      // A number stays with its unit.
      .flatMap(target => hung(target.replace(/(\d) (?=\S)/g, `$1${TIE}`), width - STOP))
      .map((line, place) => headed(place === 0 ? 'targets' : '', line)),
    namesLines('left over', answer['left over'], width),
    answer.remarks.flatMap((each, place) => remarkLines(each, place === 0 ? 'remarks' : '', width)),
  ]
  return spaced([titleLine(file, title, width), ...parts, [[piece(summary(answer), 'strong')]]])
}

function namesLines(head: string, names: readonly string[], width: number): readonly Line[] {
  return wrapNames(names, width - STOP).map((line, place) => headed(place === 0 ? head : '', line))
}

/** A remark with its line in front of it, the words that go on set in under it. */
function remarkLines({ line, message }: Problem, head: string, width: number): readonly Line[] {
  const place = `line${TIE}${line}: `
  const [first, ...rest] = wrap(`${place}${message}`, width - STOP)
  const more = wrap(rest.join(' '), width - STOP - place.length)
  return [headed(head, first!), ...more.map(each => headed('', ' '.repeat(place.length) + each))]
}

/** Names with commas, broken only between names; one that is too wide for a line has lines of its own. */
function wrapNames(names: readonly string[], width: number): readonly string[] {
  const lines: string[] = []
  let beside: string[] = []
  const flush = (): void => {
    if (beside.length > 0) lines.push(...wrap(beside.join(' '), width))
    beside = []
  }
  names.forEach((name, place) => {
    const whole = name + (place === names.length - 1 ? '' : ',')
    if (widthOf(whole) <= width) beside.push(whole.replaceAll(' ', TIE))
    else {
      flush()
      lines.push(...hung(whole, width))
    }
  })
  flush()
  return lines
}

/** Words of which what does not fit on one line goes on a step further in. */
function hung(words: string, width: number): readonly string[] {
  const [first, ...rest] = wrap(words, width)
  return [first!, ...wrap(rest.join(' '), width - 2).map(each => `  ${each}`)]
}

function headed(head: string, text: string): Line {
  return [piece(head + ' '.repeat(STOP - widthOf(head)), 'pencil'), piece(text)]
}

function summary(answer: CheckAnswer): string {
  const counts = [count(answer.levers.length, 'lever'), count(answer.targets.length, 'target')].join(', ')
  const errors = answer.problems.filter(problem => problem.severity === 'error').length
  const warnings = answer.problems.length - errors
  if (errors > 0) return `${count(errors, 'error')} to mend; ${counts}.`
  return warnings > 0 ? `In order, with ${count(warnings, 'warning')}: ${counts}.` : `In order: ${counts}.`
}

function count(number: number, word: string): string {
  return `${number} ${word}${number === 1 ? '' : 's'}`
}
