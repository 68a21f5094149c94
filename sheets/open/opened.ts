import type { Problem, Span } from '../../grammar/source.ts'
import type { Dimension } from '../../grammar/units/dimension.ts'
import type { Unit } from '../../grammar/units/unit.ts'
import type { BodyModel, Expr, FlightModel, Id, Model, Quantity, Test } from '../../solver/index.ts'
import type { VariantBlock } from '../variants/block.ts'
import type { TableEntry } from './checked.ts'
import type { RangeText } from './range.ts'

/** What the faces need to know of a quantity beside the solver's own `Model.quantities` at the same place. */
export interface Info {
  /** The name by which it is answered: "apoapsis of hop" for a flight's figure. */
  readonly name: string
  readonly dimension: Dimension
  /** The unit it is shown in; null: chosen by size. */
  readonly unit: Unit | null
  readonly description: string | null
  readonly span: Span
  /** A fact's half-width after ±, in SI. */
  readonly error: Expr | null
  /** A lever's range as expressions (ends may hang on facts) and as written. */
  readonly lever: LeverInfo | null
  /** Which flight's figure it is, and its name there. */
  readonly figure: { readonly flight: number; readonly name: string } | null
  /** Not shown: only of use inside. */
  readonly hidden: boolean
  /** Its value hangs on a lever (or a flight that does). */
  readonly hangs: boolean
}

export interface LeverInfo {
  readonly written: RangeText
  readonly from: Expr
  readonly to: Expr
  readonly step: Expr | null
}

export interface TargetInfo {
  readonly text: string
  readonly span: Span
  /** The unit of the target's value where it is shown: the limit's own. */
  readonly unit: Unit | null
  readonly dimension: Dimension
  /** The quantity, where the target is on a plain name. */
  readonly id: Id | null
  /** Its pieces as `tidy` prints them, so that one limit can be told anew. */
  readonly written: TargetText
}

/** A target in pieces: what is limited, its limit or the two ends of its band, the tolerance if there is one. */
export interface TargetText {
  readonly subject: string
  readonly ends: readonly string[]
  readonly tolerance: string | null
  /** The unit each end is written in, null where it has none of its own. */
  readonly units: readonly (Unit | null)[]
}

export interface AimInfo {
  readonly text: string
  readonly id: Id | null
  readonly dimension: Dimension
}

/** A table read somewhere: its argument there, so that a value outside its rows can be told. `flight`: as a drag curve, the argument is mach. */
export interface TableUse {
  readonly table: TableEntry
  readonly argument: Expr
  readonly span: Span
  readonly flight: number | null
}

/** A count of motors that is worked out: it must come to a whole number. */
export interface CountUse {
  readonly count: Expr
  readonly span: Span
}

export interface Shown {
  readonly id: Id
  readonly names: readonly string[]
}

/** Those declared in the order of the lines, then flights' figures. */
export function shownOf(info: readonly Info[], ids: ReadonlyMap<string, Id>): readonly Shown[] {
  const shown = [...info.keys()].filter(id => !info[id]!.hidden)
  const own = shown.filter(id => !info[id]!.figure)
  own.sort((a, b) => info[a]!.span.line - info[b]!.span.line)
  const flown = shown.filter(id => info[id]!.figure)
  flown.sort((a, b) => info[a]!.figure!.flight - info[b]!.figure!.flight)
  return [...own, ...flown].map(id => {
    const { name, figure } = info[id]!
    return { id, names: figure && ids.get(figure.name) === id ? [figure.name, name] : [name] }
  })
}

/** A sheet opened: the solver's model, and beside it what only faces need. */
export interface Opened {
  readonly title: string
  readonly model: Model
  readonly info: readonly Info[]
  /** Every name that stands for a quantity, bare flight figures and `FIGURE of FLIGHT` too. */
  readonly ids: ReadonlyMap<string, Id>
  readonly targets: readonly TargetInfo[]
  readonly aims: readonly AimInfo[]
  readonly tables: readonly TableUse[]
  readonly counts: readonly CountUse[]
  /** The quantities that are shown, in order, with the names they are shown by: a lone flight's figures by two. */
  readonly shown: readonly Shown[]
  readonly variants: readonly VariantBlock[]
  /** Errors and warnings, in the order of the lines. With an error among them the rest is for `check` only. */
  readonly problems: readonly Problem[]
}

/** What grows while a sheet is opened. */
export interface Growing {
  readonly problems: Problem[]
  readonly quantities: Quantity[]
  readonly info: Info[]
  readonly ids: Map<string, Id>
  readonly bodies: BodyModel[]
  readonly bodyPlaces: Map<string, number>
  readonly flights: FlightModel[]
  readonly tableEntries: Map<string, TableEntry>
  readonly tables: TableUse[]
  readonly counts: CountUse[]
}

/** Adds a quantity under its name and gives its place. */
export function addQuantity(growing: Growing, quantity: Quantity, info: Info): Id {
  const id = growing.quantities.length
  growing.quantities.push(quantity)
  growing.info.push(info)
  growing.ids.set(info.name, id)
  return id
}

type Known = Pick<Growing, 'info' | 'bodies'>

/** Whether an expression's value hangs on a lever. */
export function hangsOnLever(expr: Expr, known: Known): boolean {
  if (expr.op === 'ref') return known.info[expr.id]!.hangs
  if (expr.op === 'if')
    return testHangs(expr.test, known) || hangsOnLever(expr.yes, known) || hangsOnLever(expr.no, known)
  if (expr.op === 'air' && bodyHangs(known.bodies[expr.body]!, known)) return true
  return ('a' in expr && hangsOnLever(expr.a, known)) || ('b' in expr && hangsOnLever(expr.b, known))
}

/** Whether any number of a body hangs on a lever. */
export function bodyHangs(body: BodyModel, known: Known): boolean {
  if (body.kind === 'earth') return body.warmth !== undefined && hangsOnLever(body.warmth, known)
  if (body.kind !== 'own') return false
  const sound = body.tableSound ? [body.tableSound] : []
  return [body.radius, body.gravity, ...sound, ...Object.values(body.air ?? {})].some(
    expr => expr !== null && hangsOnLever(expr, known),
  )
}

function testHangs(test: Test, known: Known): boolean {
  if (test.op === 'not') return testHangs(test.a, known)
  if (test.op === 'and' || test.op === 'or') return testHangs(test.a, known) || testHangs(test.b, known)
  return hangsOnLever(test.a, known) || hangsOnLever(test.b, known)
}
