import { parse } from '../../grammar/parse.ts'
import { error, type Problem, warning } from '../../grammar/source.ts'
import type { Statement, Tree } from '../../grammar/tree.ts'
import { describe, same } from '../../grammar/units/dimension.ts'
import { mendOf, parseUnit } from '../../grammar/units/unit.ts'
import type { Aim, Target } from '../../solver/index.ts'
import type { VariantBlock } from '../variants/block.ts'
import { elaborateVariants } from '../variants/blocks.ts'
import type { Surroundings } from './checked.ts'
import { declare } from './declare.ts'
import { arrangeDeclarations } from './dependency.ts'
import { unitMend } from './disagree.ts'
import { figureNamed } from './figures.ts'
import { surroundings } from './lookup.ts'
import { type AimInfo, type Growing, type Opened, shownOf, type TargetInfo } from './opened.ts'
import { type Declared, gather, type Scope } from './scope.ts'
import type { Load } from './table.ts'
import { elaborateAim, elaborateTarget } from './targets.ts'

/** What is kept of an opened sheet to read further expressions in its terms (`--set`). */
export interface Reading {
  readonly opened: Opened
  readonly surroundings: (problems: Problem[]) => Surroundings
  readonly scope: Scope
  readonly statements: readonly Statement[]
}

/** Reads, checks and compiles the text of a sheet to the solver's model. Never throws on a bad sheet: see `problems`. */
export function open(text: string, load: Load | null): Reading {
  return openTree(parse(text), load)
}

/** The same from a text that has been read. */
export function openTree(tree: Tree, load: Load | null): Reading {
  const growing: Growing = {
    problems: [...tree.problems],
    quantities: [],
    info: [],
    ids: new Map(),
    bodies: [],
    bodyPlaces: new Map(),
    flights: [],
    tableEntries: new Map(),
    tables: [],
    counts: [],
  }
  const scope = gather(tree.statements, growing.problems, tree.lost)
  const around = surroundings(scope, growing)
  const { order, circles, knotted } = arrangeDeclarations(scope)
  for (const circle of circles) growing.problems.push(circleProblem(circle))
  for (const declared of order) if (!knotted.has(declared)) declare(declared, scope, growing, around, load)
  warnOfShadows(scope, growing.problems)
  const rest = readRest(tree.statements, growing, around)
  const targets = rest.targets.map(each => each.info)
  const { quantities, bodies, flights, info, ids, tables, counts } = growing
  const model = { quantities, bodies, flights, targets: rest.targets.map(each => each.target) }
  const variants: VariantBlock[] = []
  for (const statement of tree.statements)
    if (statement.kind === 'variants')
      variants.push(elaborateVariants(statement, { info, ids, targets, model }, around))
  const problems = growing.problems.sort((a, b) => a.line - b.line || a.column - b.column)
  const opened: Opened = {
    title: rest.title ?? '',
    model: { quantities, bodies, flights, targets: model.targets, aims: rest.aims.map(each => each.aim) },
    info,
    ids,
    targets,
    aims: rest.aims.map(each => each.info),
    tables,
    counts,
    shown: shownOf(info, ids),
    variants,
    problems,
  }
  return {
    opened,
    surroundings: list => surroundings(scope, { ...growing, problems: list }),
    scope,
    statements: tree.statements,
  }
}

interface Rest {
  title: string | null
  readonly targets: { readonly target: Target; readonly info: TargetInfo }[]
  readonly aims: { readonly aim: Aim; readonly info: AimInfo }[]
}

/** What is not declared by name: title, targets, aims, units to show in. */
function readRest(statements: readonly Statement[], growing: Growing, around: Surroundings): Rest {
  const rest: Rest = { title: null, targets: [], aims: [] }
  for (const statement of statements) {
    if (statement.kind === 'sheet') rest.title ??= statement.title
    else if (statement.kind === 'target') {
      const target = elaborateTarget(statement, around)
      if (target) rest.targets.push(target)
    } else if (statement.kind === 'aim') {
      const aim = elaborateAim(statement, around)
      if (aim) rest.aims.push(aim)
    } else if (statement.kind === 'show') show(statement, growing, around)
  }
  return rest
}

function show(statement: Extract<Statement, { kind: 'show' }>, growing: Growing, around: Surroundings): void {
  const checked = around.lookup(statement.name.name, statement.name.of, statement.name.name.span)
  const parsed = parseUnit(statement.unit.text)
  if ('fault' in parsed) {
    growing.problems.push(error(statement.unit.span, parsed.fault.message, mendOf(parsed.fault)))
    return
  }
  if (checked?.expr.op !== 'ref') return
  const known = growing.info[checked.expr.id]!
  if (same(parsed.unit.dimension, checked.dimension)) {
    growing.info[checked.expr.id] = { ...known, unit: parsed.unit }
    if (known.lever && known.lever.written.unit.text !== parsed.unit.text) growing.problems.push(leverShown(statement))
  } else
    growing.problems.push(
      error(
        statement.unit.span,
        `"${statement.name.name.text}" is ${describe(checked.dimension)}; ${parsed.unit.text} is a unit for ${describe(parsed.unit.dimension)}.`,
        unitMend(checked.dimension),
        [{ ...known.span, message: `here it is ${describe(checked.dimension)}` }],
      ),
    )
}

/** A setting is the decimal that a hand sets: in another unit it would be another one. */
function leverShown({ name, unit }: Extract<Statement, { kind: 'show' }>): Problem {
  return warning(
    unit.span,
    `"${name.name.text}" is a lever: its settings are told in the unit of its range, not in ${unit.text}.`,
    `Tell its range in ${unit.text}, or show a figure that equals it.`,
  )
}

function circleProblem(circle: readonly Declared[]): Problem {
  const first = [...circle].sort(
    (a, b) => a.name.span.line - b.name.span.line || a.name.span.column - b.name.span.column,
  )[0]!
  const start = circle.indexOf(first)
  const names = [...circle.slice(start), ...circle.slice(0, start)].map(declared => `"${declared.name.text}"`)
  const way = [...names, names[0]].join(' needs ')
  const flight = circle.some(declared => declared.kind === 'flight')
  const mend = flight
    ? 'A flight cannot be fed by its own figures: make one of them a lever, and ask for the rest with a target.'
    : 'Give one of them a value of its own, or make it a lever and ask for the rest with a target.'
  const also = circle
    .filter(declared => declared !== first)
    .map(declared => ({ ...declared.name.span, message: 'part of the circle' }))
  return error(first.name.span, `These go round in a circle: ${way}.`, mend, also)
}

function warnOfShadows(scope: Scope, problems: Problem[]): void {
  if (scope.flights.length === 0) return
  for (const declared of scope.names.values()) {
    const { text, span } = declared.name
    if ((declared.kind === 'fact' || declared.kind === 'lever' || declared.kind === 'figure') && figureNamed(text))
      problems.push(
        warning(
          span,
          `"${text}" is a name of your own here and goes before the flight's figure of that name.`,
          `The flight's is "${text} of ${scope.flights[0]!.name.text}".`,
        ),
      )
  }
}
