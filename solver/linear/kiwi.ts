import { Constraint, Expression, Operator, Solver, Strength, Variable } from 'kiwi.js'
import type { Form } from './system.ts'

/*
 * The only file that sees kiwi.js (1.1.3, pinned). What it is known for, and what is done about it here:
 * - a conflict of required constraints throws and leaves the solver corrupt: a Tableau that has thrown is never used again;
 * - its tolerances are an absolute 1e-8: callers scale, and verify what comes back;
 * - strengths are plain weights: one objective at a time, at weight 1;
 * - after redundant equations an edit can fail on rows that hold but for rounding: Guarded leaves those alone.
 */

/** Rows whose constant is no further below zero than this hold. */
const HOLDS = -1e-8
const MOST_PIVOTS = 20_000

interface Symbol_ {
  type(): number
}
interface Cells<T> {
  find(key: Symbol_): { second: T } | undefined
  insert(key: Symbol_, value: T): unknown
  erase(key: Symbol_): { second: T } | undefined
}
interface Row {
  constant(): number
  allDummies(): boolean
  coefficientFor(symbol: Symbol_): number
  solveForEx(leaving: Symbol_, entering: Symbol_): void
}
/** The private parts used, as they are in 1.1.3; a test holds them to it. */
interface Inside {
  _rowMap: Cells<Row>
  _cnMap: { find(constraint: Constraint): { second: { marker: Symbol_ } } | undefined }
  _objective: Row
  _infeasibleRows: Symbol_[]
  _substitute(symbol: Symbol_, row: Row): void
  _getDualEnteringSymbol(row: Row): Symbol_
  _getLeavingSymbol(entering: Symbol_): Symbol_
}
const INVALID = 0

class Guarded extends Solver {
  private pivots = 0

  constructor() {
    super()
    const inside = this as unknown as Inside & { _dualOptimize: () => void }
    const leaving = inside._getLeavingSymbol
    // Private to the types, so replaced on the instance instead of overridden.
    inside._dualOptimize = () => this.repair(inside)
    inside._getLeavingSymbol = entering => {
      this.count()
      return leaving.call(inside, entering)
    }
  }

  /** Restores feasibility by dual pivots, but for rows that hold within rounding and rows of dummies, which nothing can change. */
  private repair(inside: Inside): void {
    const waiting = inside._infeasibleRows
    for (let basic = waiting.pop(); basic; basic = waiting.pop()) {
      const row = inside._rowMap.find(basic)?.second
      if (!row || row.constant() > HOLDS || row.allDummies()) continue
      const entering = inside._getDualEnteringSymbol(row)
      if (entering.type() === INVALID) throw new Error('no pivot restores a broken row')
      this.count()
      inside._rowMap.erase(basic)
      row.solveForEx(basic, entering)
      inside._substitute(entering, row)
      inside._rowMap.insert(entering, row)
    }
  }

  private count(): void {
    if (++this.pivots > MOST_PIVOTS) throw new Error('too many pivots')
  }
}

/** A system inside kiwi: variables by number, rows and goals added one by one. Any method may throw; then the whole is to be thrown away. */
export class Tableau {
  private readonly solver = new Guarded()
  private readonly variables: readonly Variable[]

  constructor(count: number) {
    this.variables = Array.from({ length: count }, () => new Variable())
  }

  /** Adds form ≤ bound (−1), = (0) or ≥ (1) at a weight; Infinity: required. */
  add(form: Form, side: -1 | 0 | 1, bound: number, weight = Number.POSITIVE_INFINITY): Constraint {
    const terms = form.at.map((j, k): [number, Variable] => [form.by[k]!, this.variables[j]!])
    const operator = side < 0 ? Operator.Le : side > 0 ? Operator.Ge : Operator.Eq
    const strength = Number.isFinite(weight) ? weight : Strength.required
    const constraint = new Constraint(new Expression(...terms, -bound), operator, undefined, strength)
    this.solver.addConstraint(constraint)
    return constraint
  }

  remove(constraint: Constraint): void {
    this.solver.removeConstraint(constraint)
  }

  /** Lets a variable be suggested values, at a weight. */
  edit(variable: number, weight: number): void {
    this.solver.addEditVariable(this.variables[variable]!, weight)
  }

  unedit(variable: number): void {
    this.solver.removeEditVariable(this.variables[variable]!)
  }

  suggest(variable: number, value: number): void {
    this.solver.suggestValue(this.variables[variable]!, value)
  }

  /** The variables' values now. */
  read(): Float64Array {
    this.solver.updateVariables()
    return Float64Array.from(this.variables, variable => variable.value())
  }

  /** What the goal would gain for a unit of slack in a row: the coefficient of the row's own symbol in the final objective. */
  price(constraint: Constraint): number {
    const inside = this.solver as unknown as Inside
    const marker = inside._cnMap.find(constraint)?.second.marker
    return marker ? inside._objective.coefficientFor(marker) : 0
  }
}

export type { Constraint }
