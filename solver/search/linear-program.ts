/** What came of a linear program. */
export type Solved = 'optimal' | 'infeasible' | 'stalled'

const FEASIBLE = 1e-10
const COST = 1e-11
const PIVOT = 1e-10
const OPEN = Number.POSITIVE_INFINITY

/**
 * Least c·x subject to A x ≤ b and lower ≤ x ≤ upper, all bounds finite, then further objectives one after the other on what
 * the earlier ones leave. A dense dictionary: basic variables in terms of the others. Since every variable is bounded, the
 * slack basis with each variable at the bound its cost prefers is dual feasible, and the dual simplex needs no first phase
 * (Lemke 1954; bounded variables as in Chvátal, Linear Programming, 1983, chapters 8 and 10). Later objectives go on by the
 * primal simplex, the variables whose reduced cost is not zero held: that keeps all earlier values, without tolerances.
 */
export class LinearProgram {
  /** Variables and rows. */
  columns = 0
  rows = 0
  /** To be filled after `reset`: rows of A, then b, the bounds; kept as given but for the scale of a row. */
  a = new Float64Array(0)
  b = new Float64Array(0)
  lower = new Float64Array(0)
  upper = new Float64Array(0)
  /** The values of the variables, then of the slacks (of scaled rows). */
  value = new Float64Array(0)
  /** Pivots made since `reset`. */
  pivots = 0
  private cost = new Float64Array(0)
  private basic = new Int32Array(0)
  private other = new Int32Array(0)
  private high = new Uint8Array(0)
  private held = new Uint8Array(0)
  private scale = new Float64Array(0)
  private stride = 0
  private started = false
  private inputs = 0

  /** Takes up room for a program of that size, with `spare` variables that `spread` may add. All is zero; bounds too. */
  reset(columns: number, rows: number, spare = 0): void {
    this.columns = columns
    this.inputs = columns
    this.rows = rows
    this.stride = columns + spare
    const all = columns + spare + rows
    if (this.a.length < rows * this.stride) this.a = new Float64Array(2 * rows * this.stride)
    else this.a.fill(0, 0, rows * this.stride)
    if (this.b.length < rows) {
      this.b = new Float64Array(2 * rows)
      this.basic = new Int32Array(2 * rows)
      this.scale = new Float64Array(2 * rows)
    } else this.b.fill(0, 0, rows)
    if (this.other.length < this.stride) {
      this.other = new Int32Array(2 * this.stride)
      this.high = new Uint8Array(2 * this.stride)
      this.cost = new Float64Array(2 * this.stride)
    }
    if (this.lower.length < all) {
      this.lower = new Float64Array(2 * all)
      this.upper = new Float64Array(2 * all)
      this.value = new Float64Array(2 * all)
      this.held = new Uint8Array(2 * all)
    } else {
      this.lower.fill(0, 0, all)
      this.upper.fill(0, 0, all)
      this.held.fill(0, 0, all)
    }
    this.pivots = 0
    this.started = false
  }

  /** Where row r of A begins in `a`. */
  at(row: number): number {
    return row * this.stride
  }

  /**
   * The first call solves, later ones refine on the optimal face of the calls before.
   * `cost` holds one number a variable; variables added by `spread` follow the given ones.
   */
  minimise(cost: Float64Array): Solved {
    if (!this.started) {
      this.start(cost)
      return this.dual()
    }
    this.hold()
    this.price(cost)
    return this.primal()
  }

  /** Whether earlier objectives leave anything to choose. */
  get settled(): boolean {
    for (let j = 0; j < this.columns; j++) if (this.open(j)) return false
    return true
  }

  /** Whether they leave nothing to choose of the first `count` variables, whatever may still move beside them. */
  settles(count: number): boolean {
    const { a, stride, basic } = this
    for (let j = 0; j < this.columns; j++) {
      if (!this.open(j)) continue
      if (this.other[j]! < count) return false
      for (let i = 0; i < this.rows; i++) if (basic[i]! < count && Math.abs(a[i * stride + j]!) > PIVOT) return false
    }
    return true
  }

  /** Whether a column's variable may still move. */
  private open(j: number): boolean {
    const variable = this.other[j]!
    if (Math.abs(this.cost[j]!) > COST || this.held[variable] === 1) return false
    return this.lower[variable] !== this.upper[variable]
  }

  /** Whether the slack of a row is held at zero by the objectives so far. */
  tight(row: number): boolean {
    const slack = this.slack(row)
    for (let j = 0; j < this.columns; j++)
      if (this.other[j] === slack) return this.held[slack] === 1 || Math.abs(this.cost[j]!) > COST
    return false
  }

  /** Adds a variable of 0 … `most` that is taken off the slacks of those rows: what they have in common. Gives its place among the variables. */
  spread(rows: readonly number[], most: number): number {
    this.hold()
    const { stride, a } = this
    const j = this.columns++
    for (const row of rows) {
      const slack = this.slack(row)
      const scale = this.scale[row]!
      const place = this.other.subarray(0, j).indexOf(slack)
      if (place < 0) {
        const i = this.basic.subarray(0, this.rows).indexOf(slack)
        a[i * stride + j] = a[i * stride + j]! + scale
        continue
      }
      for (let i = 0; i < this.rows; i++) a[i * stride + j] = a[i * stride + j]! + scale * a[i * stride + place]!
    }
    // The variables are numbered given, slacks, added: an added one takes its number after the slacks.
    const variable = this.inputs + this.rows + (j - this.inputs)
    this.other[j] = variable
    this.high[j] = 0
    this.cost[j] = 0
    this.lower[variable] = 0
    this.upper[variable] = most
    this.value[variable] = 0
    this.held[variable] = 0
    return j
  }

  private slack(row: number): number {
    return this.inputs + row
  }

  private start(cost: Float64Array): void {
    const { a, b, columns, rows, stride } = this
    this.started = true
    for (let j = 0; j < columns; j++) {
      this.other[j] = j
      this.cost[j] = cost[j]!
      this.high[j] = cost[j]! < 0 ? 1 : 0
      this.value[j] = cost[j]! < 0 ? this.upper[j]! : this.lower[j]!
    }
    for (let i = 0; i < rows; i++) {
      let largest = 0
      const from = i * stride
      for (let j = 0; j < columns; j++) largest = Math.max(largest, Math.abs(a[from + j]!))
      const scale = largest > 0 ? 1 / largest : 1
      this.scale[i] = scale
      let slack = b[i]! * scale
      for (let j = 0; j < columns; j++) {
        const scaled = a[from + j]! * scale
        a[from + j] = scaled
        slack -= scaled * this.value[j]!
      }
      const variable = columns + i
      this.basic[i] = variable
      this.lower[variable] = 0
      this.upper[variable] = OPEN
      this.value[variable] = slack
    }
  }

  /** Holds the variables whose move would cost, and gives up the objective. */
  private hold(): void {
    for (let j = 0; j < this.columns; j++) {
      if (Math.abs(this.cost[j]!) > COST) this.held[this.other[j]!] = 1
      this.cost[j] = 0
    }
  }

  /** The reduced costs of another objective at the present basis. */
  private price(cost: Float64Array): void {
    const { a, stride, columns, rows } = this
    for (let j = 0; j < columns; j++) this.cost[j] = this.costOf(this.other[j]!, cost)
    for (let i = 0; i < rows; i++) {
      const of = this.costOf(this.basic[i]!, cost)
      if (of === 0) continue
      const from = i * stride
      for (let j = 0; j < columns; j++) this.cost[j] = this.cost[j]! - of * a[from + j]!
    }
  }

  /** What a variable costs: slacks nothing, an added one what stands after the given ones. */
  private costOf(variable: number, cost: Float64Array): number {
    if (variable < this.inputs) return cost[variable]!
    return variable >= this.inputs + this.rows ? cost[variable - this.rows]! : 0
  }

  private dual(): Solved {
    const limit = 50 + 20 * (this.rows + this.columns)
    for (let pivots = 0; pivots < limit; pivots++) {
      const leaving = this.mostBroken(pivots > limit / 2)
      if (leaving < 0) return 'optimal'
      const variable = this.basic[leaving]!
      const below = this.value[variable]! < this.lower[variable]!
      const entering = this.cheapest(leaving, below)
      if (entering < 0) return 'infeasible'
      const to = below ? this.lower[variable]! : this.upper[variable]!
      const move = (this.value[variable]! - to) / this.a[leaving * this.stride + entering]!
      this.shift(entering, move)
      this.value[variable] = to
      this.pivot(leaving, entering)
      this.high[entering] = below ? 0 : 1
    }
    return 'stalled'
  }

  /** The basic variable that breaks its bound by most (or the first that does), −1 for none. */
  private mostBroken(first: boolean): number {
    let chosen = -1
    let most = FEASIBLE
    for (let i = 0; i < this.rows; i++) {
      const variable = this.basic[i]!
      const value = this.value[variable]!
      const broken = Math.max(this.lower[variable]! - value, value - this.upper[variable]!)
      if (broken <= most) continue
      if (first && chosen >= 0 && variable > this.basic[chosen]!) continue
      chosen = i
      if (!first) most = broken
    }
    return chosen
  }

  private cheapest(row: number, rising: boolean): number {
    const { a, stride } = this
    const from = row * stride
    let chosen = -1
    let least = OPEN
    let size = 0
    for (let j = 0; j < this.columns; j++) {
      const coefficient = a[from + j]!
      if (Math.abs(coefficient) < PIVOT) continue
      const variable = this.other[j]!
      if (this.held[variable] === 1 || this.lower[variable] === this.upper[variable]) continue
      // The basic variable moves against coefficient × move; the move can only leave the bound inward.
      if (coefficient < 0 === rising ? this.high[j] === 1 : this.high[j] === 0) continue
      const ratio = Math.abs(this.cost[j]! / coefficient)
      if (ratio > least + 1e-12 || (ratio > least - 1e-12 && Math.abs(coefficient) <= size)) continue
      least = Math.min(ratio, least)
      chosen = j
      size = Math.abs(coefficient)
    }
    return chosen
  }

  private primal(): Solved {
    const limit = 50 + 20 * (this.rows + this.columns)
    for (let pivots = 0; pivots < limit; pivots++) {
      const entering = this.dearest(pivots > limit / 2)
      if (entering < 0) return 'optimal'
      this.advance(entering)
    }
    return 'stalled'
  }

  /** The variable whose move gains most (or the first that gains), −1 for none. */
  private dearest(first: boolean): number {
    let chosen = -1
    let most = COST
    for (let j = 0; j < this.columns; j++) {
      const gain = this.high[j] === 1 ? this.cost[j]! : -this.cost[j]!
      if (gain <= most) continue
      const variable = this.other[j]!
      if (this.held[variable] === 1 || this.lower[variable] === this.upper[variable]) continue
      if (first && chosen >= 0 && variable > this.other[chosen]!) continue
      chosen = j
      if (!first) most = gain
    }
    return chosen
  }

  /** Moves a variable off its bound as far as the others let it. */
  private advance(entering: number): void {
    const { a, stride } = this
    const variable = this.other[entering]!
    const sense = this.high[entering] === 1 ? -1 : 1
    let far = this.upper[variable]! - this.lower[variable]!
    let leaving = -1
    let size = 0
    for (let i = 0; i < this.rows; i++) {
      const rate = -a[i * stride + entering]! * sense
      if (Math.abs(rate) < PIVOT) continue
      const blocked = this.basic[i]!
      const room = rate < 0 ? this.value[blocked]! - this.lower[blocked]! : this.upper[blocked]! - this.value[blocked]!
      const most = Math.max(0, room) / Math.abs(rate)
      if (most > far + 1e-13 || (leaving >= 0 && most > far - 1e-13 && Math.abs(rate) <= size)) continue
      far = Math.min(most, far)
      leaving = i
      size = Math.abs(rate)
    }
    this.shift(entering, sense * far)
    if (leaving < 0) {
      this.high[entering] = this.high[entering] === 1 ? 0 : 1
      this.value[variable] = this.high[entering] === 1 ? this.upper[variable]! : this.lower[variable]!
      return
    }
    const out = this.basic[leaving]!
    const up = -a[leaving * stride + entering]! * sense > 0
    this.value[out] = up ? this.upper[out]! : this.lower[out]!
    this.pivot(leaving, entering)
    this.high[entering] = up ? 1 : 0
  }

  /** Moves the variable of a column, and the basic ones with it. */
  private shift(column: number, move: number): void {
    const { a, stride, value, basic } = this
    for (let i = 0; i < this.rows; i++) {
      const coefficient = a[i * stride + column]!
      if (coefficient !== 0) value[basic[i]!] = value[basic[i]!]! - coefficient * move
    }
    value[this.other[column]!] = value[this.other[column]!]! + move
  }

  private pivot(row: number, column: number): void {
    const { a, stride, columns, rows, cost } = this
    const from = row * stride
    const inverse = 1 / a[from + column]!
    for (let j = 0; j < columns; j++) a[from + j] = a[from + j]! * inverse
    a[from + column] = inverse
    for (let i = 0; i < rows; i++) {
      if (i === row) continue
      const to = i * stride
      const factor = a[to + column]!
      if (factor === 0) continue
      for (let j = 0; j < columns; j++) a[to + j] = a[to + j]! - factor * a[from + j]!
      a[to + column] = -factor * inverse
    }
    const factor = cost[column]!
    if (factor !== 0) {
      for (let j = 0; j < columns; j++) cost[j] = cost[j]! - factor * a[from + j]!
      cost[column] = -factor * inverse
    }
    const leaving = this.basic[row]!
    this.basic[row] = this.other[column]!
    this.other[column] = leaving
    this.pivots++
  }
}
