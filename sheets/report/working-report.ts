import { padded, widthOf } from '../../grammar/width.ts'
import type {
  WorkingAnswer,
  WorkingHold,
  WorkingMoment,
  WorkingPart,
  WorkingStep,
  WorkingSum,
  WorkingTarget,
} from '../working.ts'
import { BLANK, type Ink, type Line, piece, TIE, wrap } from './marked.ts'
import { type Layout, STANDARD_LAYOUT, titleLine } from './solve-report.ts'
import { type TargetState, targetWords } from './target-words.ts'

/** Stops: the name, what is said of it, its value. */
const SAID = 8
const VALUE = 34
const WORDS = 12
/** What is said beside a value is broken no narrower than this. */
const LEAST = 20

const INKS: Readonly<Record<TargetState, Ink>> = {
  met: 'plain',
  'at its limit': 'limit',
  short: 'short',
  'no value': 'short',
}

/** A working as a page of lines. A faulty answer has none: its problems are told apart. */
export function workingReport(answer: WorkingAnswer, file: string, layout: Layout = STANDARD_LAYOUT): readonly Line[] {
  const { width } = layout
  const lines: Line[] = [...titleLine(file, answer.sheet, width), BLANK]
  const where = whereWords(answer)
  if (where !== '') lines.push(...paragraph(where, width), BLANK)
  const told = new Set<string>()
  let before: { readonly lines: number; readonly depth: number } | null = null
  for (const step of answer.steps) {
    const own = stepLines(step, answer.targets, told, layout)
    if (before && (before.lines > 1 || own.length > 1 || before.depth === 0)) lines.push(BLANK)
    if (before?.depth === 0 && step.depth === 1) lines.push([piece('where', 'pencil')], BLANK)
    lines.push(...own)
    before = { lines: own.length, depth: step.depth }
  }
  return lines
}

/** Which settings the numbers are for. */
function whereWords({ outcome, middle, settings }: WorkingAnswer): string {
  const words = Object.entries(settings)
    .map(([name, { text }]) => `${name} ${text}`.replaceAll(' ', TIE))
    .join(', ')
  if (words === '') return ''
  if (middle)
    return `Nothing was found to show this at, so each lever stands in the middle of its range, not a setting to fly: ${words}.`
  switch (outcome) {
    case 'solved':
      return `At the settings that solve it: ${words}.`
    case 'conflict':
      return `The musts cannot all be met. At the closest compromise, not a setting to fly: ${words}.`
    case 'unsure':
      return `No settings were found that meet every must. At the closest tried, not a setting to fly: ${words}.`
    case 'pinned':
      return `At the settings given: ${words}.`
    default:
      return ''
  }
}

/** `told`: the sums already laid out. */
function stepLines(
  step: WorkingStep,
  targets: readonly WorkingTarget[],
  told: Set<string>,
  layout: Layout,
): readonly Line[] {
  const { width } = layout
  return [
    ...headLines(step, width),
    ...step.parts.flatMap(part => partLines(part, step.name, told, layout)),
    ...(step.pinned ? said('pinned', width) : []),
    ...(step.kind === 'lever' && !step.pinned ? heldLines(step.held, targets, width) : []),
    ...step.targets.flatMap(text => targetLines(step, targetOf(text, targets), width)),
  ]
}

/** Name, value, and what it is. */
function headLines(step: WorkingStep, width: number): readonly Line[] {
  const words = aboutWords(step)
  const value = step.si === null ? 'no value' : step.text
  const beside = VALUE + Math.max(WORDS, widthOf(value) + 2)
  const name = piece(step.name, 'strong')
  if (widthOf(step.name) + 1 > VALUE || beside + LEAST > width)
    return [
      ...wrap(step.name, width).map(line => [piece(line, 'strong')]),
      ...said(value, width, 'plain'),
      ...said(words, width),
    ]
  const gap = piece(' '.repeat(VALUE - widthOf(step.name)))
  const [first = '', ...rest] = wrap(words, width - beside)
  return [
    [name, gap, piece(padded(value, beside - VALUE)), piece(first, 'pencil')],
    ...rest.map(line => [piece(' '.repeat(beside)), piece(line, 'pencil')]),
  ]
}

function aboutWords({ kind, line, description, si, reason }: WorkingStep): string {
  if (si === null) return reason ?? ''
  const at = line === undefined ? '' : `line${TIE}${line}`
  const place = { fact: 'fact, ', lever: 'lever, ', figure: 'figure, ', given: 'given in ', target: '' }
  const from = kind === 'part' || kind === 'flight figure' ? '' : at === '' ? '' : place[kind] + at
  return [from, description ?? ''].filter(each => each !== '').join(': ')
}

function partLines(part: WorkingPart, name: string, told: Set<string>, layout: Layout): readonly Line[] {
  const { width } = layout
  switch (part.kind) {
    case 'relation': {
      const lines = [part.numbers, part.result].filter((text, place, all) => text !== all[place - 1])
      return [
        ...(part.gives === undefined ? [] : said(part.gives, width, 'plain')),
        ...equation(part.relation, width),
        ...part.notes.flatMap(note => said(note, width)),
        ...lines.flatMap(text => equation(text, width)),
      ]
    }
    case 'sum': {
      if (told.has(part.whole.name)) return said(shareWords(part, name), width)
      told.add(part.whole.name)
      return sumLines(part, layout)
    }
    case 'moment':
      return said(momentWords(part), width)
    case 'note':
      return said(part.text, width)
  }
}

/** A blank at which a relation may be broken: before a sign, or around a word of a condition. */
const BREAK = / (?=[×−+/<>=] |[<>]= |(?:then|else|and|or) )/

/** `= …`, broken before its signs, never inside a name or between a number and its unit. */
function equation(text: string, width: number): readonly Line[] {
  const tied = text
    .split(BREAK)
    .map(term => term.replaceAll(' ', TIE))
    .join(' ')
  return wrap(tied, width - SAID - 2).map((line, place) => [
    piece(' '.repeat(SAID) + (place === 0 ? '= ' : '  ') + line),
  ])
}

/** "peak g comes at 61.36 s, 27.95 km up, 1,206 m/s, air pressure 1.629 kPa, at the end of the burn." */
function momentWords({ name, words, values }: WorkingMoment): string {
  const shown = values.map(value => {
    const text = value.text.replaceAll(' ', TIE)
    return value.name === 'altitude' ? `${text} up` : value.name === 'air pressure' ? `air pressure ${text}` : text
  })
  return `${name} comes at ${shown.join(', ')}, ${words}`
}

/** Of a sum already laid out, what this one is of it. */
function shareWords({ whole, parts }: WorkingSum, name: string): string {
  const own = parts.find(part => part.name === name)
  return own ? `${own.share} of ${whole.name}, as above`.replaceAll(' %', `${TIE}%`) : 'adds up as above'
}

/** Parts under one another, and their sum under a line. */
function sumLines({ whole, parts }: WorkingSum, { width, characters }: Layout): readonly Line[] {
  const numbers = Math.max(...[whole, ...parts].map(({ text }) => widthOf(text)))
  const names = Math.max(...[whole, ...parts].map(({ name }) => widthOf(name)))
  const stop = Math.min(VALUE, width - numbers - 10) - SAID
  const column = Math.max(stop, names + 2)
  const row = (name: string, text: string, share: string): Line => [
    piece(' '.repeat(SAID) + padded(name, column) + ' '.repeat(numbers - widthOf(text)) + text),
    piece(share, 'pencil'),
  ]
  const shares = Math.max(...parts.map(({ share }) => widthOf(share)))
  return [
    ...parts.map(({ name, text, share }) => row(name, text, ' '.repeat(3 + shares - widthOf(share)) + share)),
    [piece(' '.repeat(SAID + column)), piece(characters.line.repeat(numbers), 'pencil')],
    row(whole.name, whole.text, ''),
  ]
}

/** What keeps a lever where it is. */
function heldLines(held: readonly WorkingHold[], targets: readonly WorkingTarget[], width: number): readonly Line[] {
  if (held.length === 0) return said('free: nothing limits it', width)
  return held.flatMap(({ way, by, text }) => {
    if (by === 'range') return said(`held ${way} by its range, which ends at ${text}`, width, 'plain')
    if (by === 'aim') return said(`held ${way} by the aim, ${text}`, width, 'plain')
    const target = targetOf(text, targets)
    const words = target ? `: ${targetWords(target, {}).words}` : ''
    return said(`held ${way} by ${text}${words}`, width, 'plain')
  })
}

function targetOf(text: string, targets: readonly WorkingTarget[]): WorkingTarget | undefined {
  return targets.find(target => target.text === text)
}

/** "must at most 6 g0: at its limit, 0.013 g0 of room". */
function targetLines({ kind }: WorkingStep, target: WorkingTarget | undefined, width: number): readonly Line[] {
  if (!target) return []
  const { limit, words, state } = targetWords(target, {})
  const head = kind === 'target' ? target.level : `${target.level} be ${limit}`
  return said(`${head}: ${words}`, width, INKS[state])
}

function said(text: string, width: number, ink: Ink = 'pencil'): readonly Line[] {
  if (text === '') return []
  return wrap(text, width - SAID).map(line => [piece(' '.repeat(SAID)), piece(line, ink)])
}

function paragraph(words: string, width: number): readonly Line[] {
  return wrap(words, width).map(line => [piece(line)])
}
