import type { Expression, Name } from '../../grammar/tree.ts'
import { formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, type Unit } from '../../grammar/units/unit.ts'
import type { Expr } from '../../solver/index.ts'
import type { WorkingHold, WorkingInput, WorkingKind, WorkingPart } from '../working.ts'
import { json } from './answer-quantities.ts'
import type { Checked, Surroundings } from './checked.ts'
import type { Opened } from './opened.ts'
import type { Scope } from './scope.ts'
import type { Session } from './session.ts'

/** A quantity that a working may tell of. What it is made of is worked out only when it is opened. */
export interface Node {
  /** What tells it from all others. */
  readonly key: string
  readonly name: string
  readonly si: number
  readonly unit: Unit
  readonly text: string
  readonly open: () => Told
}

/** How a quantity comes about. */
export interface Told {
  readonly kind: WorkingKind
  readonly line: number | null
  readonly description: string | null
  readonly reason: string | null
  readonly parts: readonly WorkingPart[]
  readonly reads: readonly Node[]
  /** Places of the targets on it. */
  readonly targets: readonly number[]
  readonly held: readonly WorkingHold[]
  readonly pinned: boolean
}

/** What stands behind the names of an expression. */
export type Lookup = (name: Name, of: Name | null) => Node | null

/** What every maker of nodes works with: the sheet at one point. */
export interface Desk {
  readonly session: Session
  readonly opened: Opened
  /** The sheet's declarations as written. */
  readonly scope: Scope
  readonly around: Surroundings
  readonly quantity: (id: number) => Node
  /** What the sheet's own names stand for. */
  readonly lookup: Lookup
  /** Values of expressions in SI at this point. */
  readonly values: (exprs: readonly Expr[]) => readonly number[]
  /** A written expression checked; null where it cannot be. `mach`: inside a drag coefficient. */
  readonly checked: (expression: Expression, mach: number | null) => Checked | null
}

/** Figures shown of a number that is not short by itself. */
export const DIGITS = 4
/** A number of so many figures or fewer is shown whole. */
const SHORT = 7
const WHOLE = 1e-13

/** A value ready to read: whole where it is short, as written numbers are, else to four figures. */
export function valueText(si: number, unit: Unit): string {
  return formatQuantity(si, unit, isShort(si, unit) ? SHORT : DIGITS)
}

/** Whether a value is shown whole. */
export function isShort(si: number, unit: Unit): boolean {
  const value = fromSI(si, unit)
  return Math.abs(Number(value.toPrecision(SHORT)) - value) <= WHOLE * Math.abs(value)
}

export function inputOf({ name, si, text }: Pick<Node, 'name' | 'si' | 'text'>): WorkingInput {
  return { name, si: json(si), text }
}

/** A told quantity of which nothing more is to be said than what is given here. */
export function told(kind: WorkingKind, more: Partial<Told> = {}): Told {
  return {
    kind,
    line: null,
    description: null,
    reason: null,
    parts: [],
    reads: [],
    targets: [],
    held: [],
    pinned: false,
    ...more,
  }
}
