import type { BodyModel, Curve, Expr, FlightModel } from '../../solver/index.ts'
import type { Surroundings } from './checked.ts'
import { FIGURES, type FigureEntry, PARACHUTE_FIGURES, STAGE_FIGURES } from './figures.ts'
import { elaborateFlight } from './flight.ts'
import { algebraicFigures, stageFigures } from './flight-figures.ts'
import { dimensionOf, unitOurs } from './kinds.ts'
import { bodyPlace } from './lookup.ts'
import { addQuantity, bodyHangs, type Growing, hangsOnLever, type Info } from './opened.ts'
import type { FlightStatement, Scope } from './scope.ts'

/** What the search models in place of a figure that has a kink: each smooth over the levers. */
const SEARCH_FIGURES = [
  ['peak g burning', 'm/s^2'],
  ['peak g coasting', 'm/s^2'],
  ['max q burning', 'Pa'],
  ['max q coasting', 'Pa'],
  ['apoapsis energy', 'm'],
] as const

/** Takes a flight into the growing sheet, with its figures and those of its stages and parachutes. */
export function declareFlight(declared: FlightStatement, scope: Scope, growing: Growing, around: Surroundings): void {
  const index = bodyPlace(declared.body, scope, growing)
  const body = index === null ? null : { index, model: growing.bodies[index]! }
  // Its place is that of the sheet, whatever the order in which the names are worked out.
  const flight = scope.flights.indexOf(declared)
  const own: Surroundings = {
    ...around,
    used: (table, argument, span) =>
      growing.tables.push({ table, argument, span, flight: argument.op === 'local' ? flight : null }),
  }
  const standard = elaborateFlight(declared, body, scope, own, expr => hangsOnLever(expr, growing))
  if (!standard) return
  const { warmth } = standard
  // A hot or cold day is an Earth of its own.
  const model = warmth ? { ...standard, body: growing.bodies.push({ kind: 'earth', warmth }) - 1 } : standard
  growing.flights[flight] = model
  const place: Place = { model, flight, hangs: flightHangs(model, growing.bodies[model.body]!, growing), declared }
  addFlightFigures(place, scope, growing)
  addPartFigures(place, scope, growing)
}

interface Place {
  readonly model: FlightModel
  readonly flight: number
  readonly hangs: boolean
  readonly declared: FlightStatement
}

function addFlightFigures(place: Place, scope: Scope, growing: Growing): void {
  const { model } = place
  const algebra = algebraicFigures(model)
  const add = (name: string, unit: string, value: Expr | null, hidden: boolean): void => {
    const full = `${name} of ${model.name}`
    const id = addFigure(place, growing, { full, name, unit, value, hidden })
    if (!hidden && scope.flights.length === 1 && !scope.names.has(name)) growing.ids.set(name, id)
  }
  for (const figure of FIGURES) add(figure.name, figure.unit, algebra.get(figure.name) ?? null, false)
  add('pad ratio', '1', algebra.get('pad ratio')!, true)
  for (const [name, unit] of SEARCH_FIGURES) add(name, unit, null, true)
}

/** `FIGURE of STAGE` and `FIGURE of PARACHUTE`; where two flights have a part of one name, `FIGURE of PART of FLIGHT`. */
function addPartFigures(place: Place, scope: Scope, growing: Growing): void {
  const { model } = place
  const add = (figure: FigureEntry, part: string, value: Expr | null): void => {
    const name = `${figure.name} of ${part}`
    const full = partIsUnique(part, scope) ? name : `${name} of ${model.name}`
    addFigure(place, growing, { full, name, unit: figure.unit, value, hidden: false })
  }
  if (model.staged)
    model.stages.forEach((stage, index) => {
      const algebra = stageFigures(model, index)
      for (const figure of STAGE_FIGURES) add(figure, stage.name, algebra.get(figure.name) ?? null)
    })
  for (const parachute of model.parachutes ?? [])
    for (const figure of PARACHUTE_FIGURES) add(figure, parachute.name, null)
}

/** Whether only one flight of the sheet has a stage or parachute of this name. */
export function partIsUnique(part: string, scope: Scope): boolean {
  return scope.flights.filter(flight => flight.parts.some(each => each.name.text === part)).length === 1
}

interface NewFigure {
  readonly full: string
  readonly name: string
  readonly unit: string
  readonly value: Expr | null
  readonly hidden: boolean
}

function addFigure({ flight, hangs, declared }: Place, growing: Growing, figure: NewFigure): number {
  const { full, name, unit, value, hidden } = figure
  const info: Info = {
    name: full,
    dimension: dimensionOf(unit),
    unit: name.includes(' of ') ? unitOurs(unit) : null,
    description: null,
    span: declared.name.span,
    error: null,
    lever: null,
    figure: { flight, name },
    hidden,
    hangs: value ? hangsOnLever(value, growing) : hangs,
  }
  return addQuantity(
    growing,
    value ? { role: 'figure', name: full, value } : { role: 'flown', name: full, flight, output: name },
    info,
  )
}

/** Whether any slot of a flight or of its body hangs on a lever. */
function flightHangs(model: FlightModel, body: BodyModel, growing: Growing): boolean {
  const all = [model, ...model.stages, ...(model.parachutes ?? [])].flatMap(part => Object.values(part))
  return bodyHangs(body, growing) || all.some(value => isExpr(value) && hangsOnLever(value, growing))
}

function isExpr(value: unknown): value is Exclude<Expr, Curve> {
  return typeof value === 'object' && value !== null && 'op' in value
}
