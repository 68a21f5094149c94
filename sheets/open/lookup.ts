import { Vocabulary } from '../../grammar/nearest.ts'
import { error, type Span } from '../../grammar/source.ts'
import type { Name } from '../../grammar/tree.ts'
import { parseUnit } from '../../grammar/units/unit.ts'
import { BUILT_IN_BODIES, builtInBodies } from './bodies.ts'
import { CALLABLE } from './call.ts'
import type { Checked, Surroundings } from './checked.ts'
import { FIGURES, type FigureEntry, figureNamed, figuresOfPart, PARACHUTE_FIGURES } from './figures.ts'
import { unitOurs } from './kinds.ts'
import type { Growing } from './opened.ts'
import { didYouMean, type FlightStatement, KIND_WORDS, type Scope } from './scope.ts'

/** The answers that a sheet's names give while it is opened. */
export function surroundings(scope: Scope, growing: Growing): Surroundings {
  const { problems } = growing
  let vocabulary: Vocabulary | null = null
  const known = (): Vocabulary => {
    vocabulary ??= new Vocabulary([
      ...scope.names.keys(),
      ...(scope.flights.length > 0 ? FIGURES.map(figure => figure.name) : []),
      ...CALLABLE,
    ])
    return vocabulary
  }
  const around: Surroundings = {
    problems,
    local: null,
    table: name => growing.tableEntries.get(name),
    used: (table, argument, span) => growing.tables.push({ table, argument, span, flight: null }),
    counted: (count, span) => growing.counts.push({ count, span }),
    known,
    lost: name => scope.lost.has(name) || (scope.names.get(name)?.kind === 'table' && !growing.tableEntries.has(name)),
    lookup: (name, of, span) =>
      of ? lookupOf(name, of, scope, growing) : lookupBare(name, span, scope, growing, known),
    body: (name, of, span) => bodyFor(name, of, span, scope, growing),
  }
  return around
}

function quantity(name: string, growing: Growing): Checked | null {
  const id = growing.ids.get(name)
  if (id === undefined) return null
  const { dimension, unit, figure } = growing.info[id]!
  const usual = figure ? figureNamed(figure.name) : undefined
  return { expr: { op: 'ref', id }, dimension, unit: unit ?? (usual ? unitOurs(usual.unit) : null) }
}

function lookupBare(name: Name, span: Span, scope: Scope, growing: Growing, known: () => Vocabulary): Checked | null {
  const { problems } = growing
  const { text } = name
  const declared = scope.names.get(text)
  if (declared) {
    if (declared.kind === 'fact' || declared.kind === 'lever' || declared.kind === 'figure')
      return quantity(text, growing)
    const mend =
      declared.kind === 'table'
        ? `Write ${text}(…) with the ${declared.argument.text} to look up.`
        : declared.kind === 'flight'
          ? `Name one of its figures, such as apoapsis of ${text}.`
          : 'Name a quantity in its place.'
    problems.push(error(span, `"${text}" is ${KIND_WORDS[declared.kind]}, not a quantity.`, mend))
    return null
  }
  const figure = figureNamed(text)
  if (figure) {
    if (scope.flights.length === 0) {
      problems.push(
        error(
          span,
          `"${text}" is a figure of a flight, and this sheet has no flight.`,
          'Add a line such as "flight hop from Earth".',
        ),
      )
      return null
    }
    if (scope.flights.length > 1) {
      const flights = scope.flights.map(flight => `${text} of ${flight.name.text}`)
      problems.push(error(span, `This sheet has several flights; say of which one.`, `Write ${flights.join(' or ')}.`))
      return null
    }
    return ofFlight(name, scope.flights[0]!.name.text, growing)
  }
  const opened = PARACHUTE_FIGURES.some(each => each.name === text) ? parachutesOf(scope) : []
  if (opened.length === 1) return quantity(`${text} of ${opened[0]}`, growing)
  if (opened.length > 1)
    problems.push(
      error(
        span,
        'This sheet has several parachutes; say of which one.',
        `Write ${opened.map(each => `${text} of ${each}`).join(' or ')}.`,
      ),
    )
  else if (!scope.lost.has(text))
    problems.push(error(span, `Nothing here is called "${text}".`, mendUnknown(text, known)))
  return null
}

function parachutesOf({ flights }: Scope): readonly string[] {
  const parts = flights.flatMap(flight => flight.parts)
  return [...new Set(parts.filter(part => part.kind === 'parachute').map(part => part.name.text))]
}

function mendUnknown(text: string, known: () => Vocabulary): string {
  if (text === 'mach') return 'mach is known only inside the drag coefficient of a flight.'
  if (text === 'g') return 'Write "1 g0" for standard gravity; g is the gram.'
  const near = didYouMean(text, text === 'π' ? ['pi'] : known())
  if (near) return near
  const asUnit = parseUnit(text)
  return 'unit' in asUnit
    ? `${text} is a unit: write a number before it, such as "1 ${text}".`
    : `Declare it: a fact with a value, a lever with a range, or a figure with its formula.`
}

function ofFlight(name: Name, flight: string, growing: Growing): Checked | null {
  return quantity(`${name.text} of ${flight}`, growing)
}

function lookupOf(name: Name, of: Name, scope: Scope, growing: Growing): Checked | null {
  const { problems } = growing
  const owner = scope.names.get(of.text)
  if (owner?.kind === 'flight') {
    if (figureNamed(name.text)) return ofFlight(name, of.text, growing)
    return noSuchFigure(name, 'flight', FIGURES, growing)
  }
  const flights = scope.flights.filter(flight => flight.parts.some(part => part.name.text === of.text))
  if (flights.length > 0) return ofPart(name, of, flights, growing)
  const known = scope.flights.flatMap(flight => [flight.name.text, ...flight.parts.map(part => part.name.text)])
  if (owner)
    problems.push(
      error(
        of.span,
        `"${of.text}" is ${KIND_WORDS[owner.kind]}; only flights, stages and parachutes have figures.`,
        'Leave out "of" and what follows it.',
      ),
    )
  else if (!scope.lost.has(of.text))
    problems.push(
      error(
        of.span,
        `No flight, stage or parachute is called "${of.text}".`,
        didYouMean(of.text, known) ?? ofWhat(known),
      ),
    )
  return null
}

function ofWhat(known: readonly string[]): string {
  return known.length > 0 ? `There is ${known.join(', ')}.` : 'Add a line such as "flight hop from Earth".'
}

function ofPart(name: Name, of: Name, flights: readonly FlightStatement[], growing: Growing): Checked | null {
  const [first] = flights
  const part = first!.parts.find(candidate => candidate.name.text === of.text)!
  const figures = figuresOfPart(part.kind)
  if (!figures.some(figure => figure.name === name.text)) return noSuchFigure(name, part.kind, figures, growing)
  if (flights.length === 1) return quantity(`${name.text} of ${of.text}`, growing)
  growing.problems.push(
    error(
      of.span,
      `Several flights have a ${part.kind} called "${of.text}" (${flights.map(flight => flight.name.text).join(', ')}), so this does not say which is meant.`,
      `Give the ${part.kind}s names of their own, such as "${first!.name.text} ${of.text}".`,
    ),
  )
  return null
}

function noSuchFigure(name: Name, kind: string, figures: readonly FigureEntry[], growing: Growing): null {
  const names = figures.map(figure => figure.name)
  const mend =
    didYouMean(name.text, names) ??
    (kind === 'flight' ? 'Its figures are listed by check.' : `It has: ${names.join(', ')}.`)
  growing.problems.push(error(name.span, `A ${kind} has no figure called "${name.text}".`, mend))
  return null
}

function bodyFor(name: Name, of: Name | null, span: Span, scope: Scope, growing: Growing): number | null {
  if (of) return bodyPlace(of, scope, growing)
  const flight = scope.flights.length === 1 ? scope.flights[0]! : null
  if (flight) return bodyPlace(flight.body, scope, growing)
  const why = scope.flights.length === 0 ? 'This sheet has no flight' : 'This sheet has several flights'
  growing.problems.push(
    error(
      span,
      `${why}; say of which body the ${name.text} is meant.`,
      `Write "${name.text}(…) of Earth", for example.`,
    ),
  )
  return null
}

/** The place of a body by name, a built-in one added when first met; null after a problem, here or at its own block. */
export function bodyPlace(name: Name, scope: Scope, growing: Growing): number | null {
  const place = growing.bodyPlaces.get(name.text)
  if (place !== undefined) return place
  const kind = BUILT_IN_BODIES.get(name.text)
  if (kind) {
    growing.bodyPlaces.set(name.text, growing.bodies.length)
    return growing.bodies.push({ kind }) - 1
  }
  if (scope.names.get(name.text)?.kind === 'body') return null
  const bodies = [
    ...BUILT_IN_BODIES.keys(),
    ...[...scope.names.values()].filter(declared => declared.kind === 'body').map(declared => declared.name.text),
  ]
  growing.problems.push(
    error(
      name.span,
      `No body is called "${name.text}".`,
      didYouMean(name.text, bodies) ?? `${builtInBodies()} are built in; others are described in a body block.`,
    ),
  )
  return null
}
