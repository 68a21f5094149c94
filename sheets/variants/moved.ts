import { same } from '../../grammar/units/dimension.ts'
import type { Target } from '../../solver/index.ts'
import type { Opened } from '../open/opened.ts'
import { didYouMean } from '../open/scope.ts'
import type { Varied } from './block.ts'

/** What can be known of a sheet when its variants are read. */
export type Known = Pick<Opened, 'info' | 'ids' | 'targets'> & {
  readonly model: Pick<Opened['model'], 'quantities' | 'flights' | 'targets'>
}

export interface Unknown {
  readonly fault: string
  readonly mend: string
}

/** The column of words that is carried through. */
export const LABEL = 'label'

/** What a name at the head of a column moves: a fact, a lever, a target's limit by its text without the limit, or `body of FLIGHT`. */
export function movedBy(written: string, known: Known): Varied | Unknown {
  const name = written.normalize('NFC').trim().replace(/\s+/g, ' ')
  const id = known.ids.get(name)
  const role = id === undefined ? undefined : known.model.quantities[id]!.role
  if (id !== undefined && (role === 'fact' || role === 'lever')) {
    const info = known.info[id]!
    return {
      name,
      moved: { kind: role, name },
      dimension: info.dimension,
      unit: info.lever?.written.unit ?? info.unit,
    }
  }
  if (name === 'body' || name.startsWith('body of ')) return bodyOf(name, known)
  const limit = limitOf(name, known)
  if (limit) return limit
  if (name === LABEL) return { name, moved: { kind: 'label' }, dimension: null, unit: null }
  if (id !== undefined)
    return {
      fault: `"${name}" is worked out, and no target is on it alone; only facts, levers, limits of targets and bodies of flights can be varied.`,
      mend: 'Vary what it is worked out from, or put a target on it and vary its limit.',
    }
  const names = [
    ...known.info.flatMap((info, at) =>
      ['fact', 'lever'].includes(known.model.quantities[at]!.role) && !info.hidden ? [info.name] : [],
    ),
    ...known.targets.map((_, target) => limitName(target, known)),
    ...known.model.flights.map(flight => `body of ${flight.name}`),
  ]
  return {
    fault: `Nothing here that can be varied is called "${name}".`,
    mend:
      didYouMean(name, names) ??
      `Name a fact, a lever, a target without its limit, or the body of a flight; words of your own go into a column called "${LABEL}".`,
  }
}

const NO_FLIGHT = 'Leave it out: this sheet has no flight.'

function bodyOf(name: string, known: Known): Varied | Unknown {
  const flights = known.model.flights.map(flight => flight.name)
  const asked = name === 'body' ? (flights.length === 1 ? flights[0]! : null) : name.slice('body of '.length)
  if (asked !== null && flights.includes(asked))
    return { name: `body of ${asked}`, moved: { kind: 'body', flight: asked }, dimension: null, unit: null }
  const all = flights.map(flight => `body of ${flight}`).join(' or ')
  if (asked === null)
    return { fault: `"body" does not say of which flight.`, mend: all === '' ? NO_FLIGHT : `Write ${all}.` }
  return {
    fault: `No flight is called "${asked}".`,
    mend: didYouMean(asked, flights) ?? (all === '' ? NO_FLIGHT : `Write ${all}.`),
  }
}

/** A target's text without its limit: "peak g at most". */
export function limitText(target: number, known: Pick<Known, 'targets' | 'model'>): string {
  return `${known.targets[target]!.written.subject} ${known.model.targets[target]!.limit.kind}`
}

/** The same, with its level where two targets would read alike, and whole where that does not help. */
export function limitName(target: number, known: Pick<Known, 'targets' | 'model'>): string {
  const text = limitText(target, known)
  const alike = known.targets.flatMap((_, other) => (limitText(other, known) === text ? [other] : []))
  if (alike.length === 1) return text
  const { level } = known.model.targets[target]!
  const levels = alike.filter(other => known.model.targets[other]!.level === level)
  return levels.length === 1 ? `${level} ${text}` : `${level} ${known.targets[target]!.text}`
}

function limitOf(name: string, known: Known): Varied | Unknown | null {
  const ways: readonly ((target: number) => readonly string[])[] = [
    target => [limitText(target, known), limitName(target, known), known.targets[target]!.text],
    target => [`${known.model.targets[target]!.level} ${limitText(target, known)}`],
    target => [levelAndSubject(target, known)],
    target => [known.targets[target]!.written.subject],
  ]
  for (const way of ways) {
    const found = known.targets.flatMap((_, target) => (way(target).includes(name) ? [target] : []))
    if (found.length > 1)
      return {
        fault: `"${name}" may be the limit of several targets.`,
        mend: mendOf(found, known),
      }
    if (found.length === 1) return limitColumn(found[0]!, known)
  }
  return null
}

function levelAndSubject(target: number, known: Pick<Known, 'targets' | 'model'>): string {
  return `${known.model.targets[target]!.level} ${known.targets[target]!.written.subject}`
}

/** Names that tell targets apart: without their limits' words, which no `each` line may hold, where that does. */
function mendOf(targets: readonly number[], known: Known): string {
  const short = new Set(targets.map(target => levelAndSubject(target, known)))
  const listed = (names: Iterable<string>): string => [...names].map(name => `"${name}"`).join(' or ')
  if (short.size === targets.length) return `Write ${listed(short)}.`
  return `In a file of variants write ${listed(new Set(targets.map(target => limitName(target, known))))}.`
}

function limitColumn(target: number, known: Known): Varied {
  const { dimension, unit, id } = known.targets[target]!
  const like = id === null ? null : known.info[id]!.unit
  return {
    name: limitName(target, known),
    moved: { kind: 'limit', target, ends: endsOf(known.model.targets[target]!) },
    dimension,
    unit: unit ?? (like && same(like.dimension, dimension) ? like : null),
  }
}

function endsOf({ limit }: Target): 1 | 2 {
  return limit.kind === 'within' ? 2 : 1
}
