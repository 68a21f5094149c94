import { type Bound, COULD, EQUAL, EQUAL_WITHIN, type Frame, MUST, SHOULD } from './frame.ts'
import { leading, type Sloping } from './leading.ts'
import { LinearProgram } from './linear-program.ts'
import { figureOf, slopeByY } from './scale.ts'
import { type Softs, softsOf } from './softs.ts'

/** Which levels a chain goes through. */
export type Goal = 'all' | 'violation'

export interface ChainOptions {
  readonly goal: Goal
  /** Rounds of "then the next smallest margin". */
  readonly rounds: number
  /** Whether to go on to the levers' ties. */
  readonly ties: boolean
  /** How many times the room is kept that rounding a lever without steps to nine digits may cost a margin. */
  readonly inset: number
}

const NONE = Number.NaN
const MOST_TANGENTS = 12
/** Half the distance of nine-digit numbers, at most, as a share of the number; and what a flight's own noise is given beside. */
const NINE_DIGITS = 5e-9
const LEAST_INSET = 1e-10

/**
 * The chain of linear programs at one point: least largest shortfall of the musts, then least sum over the shoulds, over the
 * coulds, each aim, the largest smallest margin, each level held before the next. Rows are linear in y around the point.
 */
export class Chain {
  /** The step in shares, and what the linear rows promise there: largest violation, sums, aims (in y, by the sense). */
  readonly step: Float64Array
  violation = 0
  should = 0
  could = 0
  readonly aims: Float64Array
  /** Linear programs solved. */
  programs = 0
  /** The box that steps stay in, at first that of the levers. */
  readonly low: Float64Array
  readonly high: Float64Array
  private readonly frame: Frame
  private readonly program = new LinearProgram()
  private readonly softs: Softs
  /** By variable shared by several softs, their places among the bounds used. */
  private readonly sharing: number[][]
  private readonly tangents: number[][]
  private cost = new Float64Array(0)
  private readonly down: Float64Array
  private readonly up: Float64Array
  private readonly grain: Float64Array
  private at = 0
  /** The bounds that count, so many, with their margins and the slopes of these by y. Lists that are emptied would be made anew each time. */
  private count = 0
  private margin = new Float64Array(16)
  private gain = new Float64Array(16)
  private readonly used: Bound[] = []
  private readonly figures: Float64Array
  /** Places among the bounds used whose margins count as room; by row and side, when it was last met among them. */
  private readonly counted: number[] = []
  private readonly seen: Float64Array
  private filled = 0

  constructor(frame: Frame) {
    this.frame = frame
    this.step = new Float64Array(frame.levers.n)
    this.aims = new Float64Array(frame.parts.length)
    this.softs = softsOf(frame)
    this.sharing = this.softs.levels.map(() => [])
    this.tangents = this.softs.levels.map(() => [])
    this.low = frame.levers.low.slice()
    this.high = frame.levers.high.slice()
    this.down = new Float64Array(frame.levers.n)
    this.up = new Float64Array(frame.levers.n)
    this.grain = new Float64Array(frame.levers.n)
    this.figures = new Float64Array(frame.rows)
    this.seen = new Float64Array(2 * frame.rows)
  }

  /**
   * Solves the chain around `u`, where rows are worth `y` with gradients `slope` (from `slopeAt`), inside the box and within
   * `radius` of `center`. Fills `step` (from `u`) and the promised levels; false where the programs failed.
   */
  run(
    bounds: readonly Bound[],
    u: Float64Array,
    y: Float64Array,
    yAt: number,
    slope: Float64Array,
    slopeAt: number,
    center: Float64Array,
    radius: number,
    options: ChainOptions,
    own = radius,
  ): boolean {
    const { levers } = this.frame
    for (let l = 0; l < levers.n; l++) {
      const low = Math.max(this.low[l]!, center[l]! - radius, u[l]! - own)
      const high = Math.min(this.high[l]!, center[l]! + radius, u[l]! + own)
      this.down[l] = Math.min(low, high) - u[l]!
      this.up[l] = Math.max(low, high) - u[l]!
      const x = levers.from[l]! + u[l]! * levers.width[l]!
      this.grain[l] = levers.step[l] === 0 ? (NINE_DIGITS * Math.abs(x)) / levers.width[l]! : 0
    }
    this.linearise(bounds, y, yAt)
    for (const list of this.tangents) list.length = 0
    for (let round = 0; ; round++) {
      const solved = this.solve(u, y, yAt, slope, slopeAt, options)
      if (!solved) return false
      if (round >= 8 || options.goal === 'violation' || !this.addTangents(slope, slopeAt)) return true
    }
  }

  /** Margins and their slopes by y of the bounds that count. */
  private linearise(bounds: readonly Bound[], y: Float64Array, yAt: number): void {
    if (this.margin.length < bounds.length) {
      this.margin = new Float64Array(2 * bounds.length)
      this.gain = new Float64Array(2 * bounds.length)
    }
    const { frame, figures, margin, gain, used } = this
    for (let r = 0; r < frame.rows; r++) figures[r] = figureOf(frame, r, y[yAt + r]!)
    let count = 0
    for (const bound of bounds) {
      const value = y[yAt + bound.row]!
      if (!Number.isFinite(value)) continue
      const target = bound.target < 0 ? null : frame.targets[bound.target]!
      if (target && bound.side < 0 && target.rows.length > 1 && !attains(target.rows, figures, bound.row)) continue
      let now = (bound.side * (bound.limit - value)) / bound.unit
      let per = -bound.side / bound.unit
      if (target) {
        const figure = figures[bound.row]!
        const real =
          bound.shift + (bound.side > 0 ? (target.high - figure) / target.scale : (figure - target.low) / target.scale)
        const soft = bound.level !== MUST && (real < -1e-3 || target.kind === EQUAL_WITHIN)
        if (Number.isFinite(real)) {
          if (soft) {
            now = real
            per = (-bound.side * slopeByY(frame, bound.row, value)) / target.scale
          } else if (Math.abs(bound.limit - value) > 1e-7 * Math.max(1, Math.abs(bound.limit))) {
            now = real
            per = -real / (bound.limit - value)
          }
        }
      }
      margin[count] = now
      gain[count] = per
      used[count++] = bound
    }
    this.count = count
  }

  private solve(
    u: Float64Array,
    y: Float64Array,
    yAt: number,
    slope: Float64Array,
    slopeAt: number,
    options: ChainOptions,
  ): boolean {
    const { frame, program } = this
    const { n } = frame.levers
    const soft = this.softs.levels.length
    const all = options.goal === 'all'
    const tiesAt = n + 2 + soft
    const columns = tiesAt + (options.ties ? n : 0)
    const most = 4 * this.count + (all ? this.countTangents() : 0) + (options.ties ? 2 * n : 0)
    program.reset(columns, most, all ? options.rounds : 0)
    if (this.cost.length < columns + options.rounds) this.cost = new Float64Array(2 * columns + options.rounds)
    for (let l = 0; l < n; l++) {
      program.lower[l] = this.down[l]!
      program.upper[l] = this.up[l]!
    }
    const state = this.fillRows(slope, slopeAt, options)
    if (options.ties) this.fillTies(u, tiesAt)
    program.rows = this.at
    this.openLevels(state, tiesAt, options)
    if (!this.levels(y, yAt, slope, slopeAt, options, state)) return false
    for (let l = 0; l < n; l++) this.step[l] = program.value[l]!
    return true
  }

  private countTangents(): number {
    let count = 0
    for (let i = 0; i < this.count; i++) {
      const bound = this.used[i]!
      if (bound.side > 0 && this.isSquare(bound)) count += this.tangents[this.softs.of[bound.target]![0]]!.length
    }
    return count
  }

  /** The rows of the musts, softs and margins; tells what the levels are worth without a step. */
  private fillRows(slope: Float64Array, slopeAt: number, options: ChainOptions): State {
    const { frame, program, margin, gain, used } = this
    const { n } = frame.levers
    const { a, b } = program
    const violationAt = n
    const state: State = {
      must: 0,
      should: 0,
      could: 0,
      low: Number.POSITIVE_INFINITY,
      high: Number.POSITIVE_INFINITY,
      roomRows: [],
    }
    for (const list of this.sharing) list.length = 0
    let row = 0
    for (let i = 0; i < this.count; i++) {
      const bound = used[i]!
      const target = bound.target < 0 ? null : frame.targets[bound.target]!
      if (options.goal === 'violation' && bound.level !== MUST) continue
      const at = program.at(row)
      const from = slopeAt + bound.row * n
      let inset = 0
      for (let l = 0; l < n; l++) {
        a[at + l] = -gain[i]! * slope[from + l]!
        inset += Math.abs(a[at + l]!) * this.grain[l]!
      }
      inset = options.inset > 0 && target?.kind !== EQUAL ? options.inset * (inset + LEAST_INSET) : 0
      if (bound.level === MUST) {
        a[at + violationAt] = -1
        b[row] = margin[i]! - inset
        state.must = Math.max(state.must, inset - margin[i]!)
        row++
      } else {
        if (!this.isSquare(bound)) {
          const below = this.softs.single ? a[at]! < 0 : bound.side < 0
          const place = this.softs.of[bound.target]![below ? 0 : 1]
          a[at + n + 1 + place] = -1
          b[row] = margin[i]! - inset
          if (this.softs.sizes[place]! > 1) this.sharing[place]!.push(row)
          const short = Math.max(0, inset - margin[i]!)
          if (bound.level === SHOULD) state.should = Math.max(state.should, short)
          else state.could = Math.max(state.could, short)
          row++
        } else if (bound.side > 0) row = this.fillTangents(row, i, slope, slopeAt, state)
      }
    }
    for (const list of this.sharing) if (list.length > 1) this.sumUp(list)
    this.at = options.goal === 'all' ? this.fillRoom(row, slope, slopeAt, state) : row
    return state
  }

  /** The rows that hold the room below the margins of musts and shoulds, from row `row` on. */
  private fillRoom(row: number, slope: Float64Array, slopeAt: number, state: State): number {
    const { frame, program, margin, gain, used, down, up } = this
    const { n } = frame.levers
    this.filled++
    const roomAt = n + 1 + this.softs.levels.length
    const { counted, seen } = this
    counted.length = 0
    let shared = false
    for (let i = 0; i < this.count; i++) {
      const { target, level, row: of, side } = used[i]!
      if (target < 0 || level > SHOULD || frame.targets[target]!.kind === EQUAL) continue
      counted.push(i)
      const key = keyOf(of, side)
      if (seen[key] === this.filled) shared = true
      seen[key] = this.filled
      let reach = 0
      for (let l = 0; l < n; l++) {
        const by = gain[i]! * slope[slopeAt + of * n + l]!
        reach += Math.abs(by) * Math.max(Math.abs(down[l]!), Math.abs(up[l]!))
      }
      state.low = Math.min(state.low, margin[i]! - reach)
      state.high = Math.min(state.high, margin[i]! + reach)
    }
    let next = row
    for (const i of shared ? this.leadingOf(slope, slopeAt) : counted) {
      const at = program.at(next)
      for (let l = 0; l < n; l++) program.a[at + l] = -gain[i]! * slope[slopeAt + used[i]!.row * n + l]!
      program.a[at + roomAt] = 1
      program.b[next] = margin[i]!
      state.roomRows.push(next)
      next++
    }
    return next
  }

  /** Of the margins counted those that may be the smallest of all on one figure and side somewhere in the box. */
  private leadingOf(slope: Float64Array, slopeAt: number): readonly number[] {
    const { frame, margin, gain, used, down, up, counted } = this
    const { n } = frame.levers
    const margins = counted.map((i): Sloping => {
      const { row, side } = used[i]!
      let [least, most] = [margin[i]!, margin[i]!]
      for (let l = 0; l < n; l++) {
        const by = gain[i]! * slope[slopeAt + row * n + l]!
        least += Math.min(by * down[l]!, by * up[l]!)
        most += Math.max(by * down[l]!, by * up[l]!)
      }
      return { key: keyOf(row, side), least, most }
    })
    return leading(margins).map(place => counted[place]!)
  }

  /**
   * Rows z ≥ short of targets that bound one figure (or one lever) from one side become rows z ≥ the sum of those short so far, in the order
   * in which they come to be: the largest of these sums is what all of them are short, wherever it moves.
   */
  private sumUp(rows: number[]): void {
    const { program } = this
    const { a, b } = program
    const { n } = this.frame.levers
    let lane = 0
    for (let l = 1; l < n; l++)
      if (Math.abs(a[program.at(rows[0]!) + l]!) > Math.abs(a[program.at(rows[0]!) + lane]!)) lane = l
    // One row is another's multiple: it is at its limit where lever `lane` alone has moved by b/a.
    const limit = (row: number): number => {
      const rate = Math.abs(a[program.at(row) + lane]!)
      if (rate > 0) return b[row]! / rate
      return b[row]! < 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY
    }
    const sorted = rows
      .map(row => ({ limit: limit(row), b: b[row]!, by: Array.from({ length: n }, (_, l) => a[program.at(row) + l]!) }))
      .sort((one, other) => Number(one.limit > other.limit) - Number(one.limit < other.limit))
    const sum = new Float64Array(n)
    let right = 0
    sorted.forEach(({ b: own, by }, k) => {
      const row = rows[k]!
      right += own
      b[row] = right
      for (let l = 0; l < n; l++) {
        sum[l] = sum[l]! + by[l]!
        a[program.at(row) + l] = sum[l]!
      }
    })
  }

  /**
   * q ≥ 2 z r − z² at each tangent point z of a square, r = (x − X)/T. Where the figure is the largest of several rows, one that is not it
   * counts only where it would lie above X.
   */
  private fillTangents(row: number, i: number, slope: Float64Array, slopeAt: number, state: State): number {
    const { program, margin, gain, used } = this
    const { n } = this.frame.levers
    const bound = used[i]!
    const place = this.softs.of[bound.target]![0]
    const now = 1 - margin[i]!
    const leads = this.leads(bound)
    const list = this.tangents[place]!
    if (leads && list.length === 0) list.push(now, 0.5 * now, -0.5 * now, 2 * now)
    for (const z of list) {
      if (!leads && z <= 0) continue
      const at = program.at(row)
      for (let l = 0; l < n; l++) program.a[at + l] = -2 * z * gain[i]! * slope[slopeAt + bound.row * n + l]!
      program.a[at + n + 1 + place] = -1
      program.b[row] = z * z - 2 * z * now
      row++
    }
    if (!leads) return row
    if (bound.level === SHOULD) state.should = Math.max(state.should, now * now)
    else state.could = Math.max(state.could, now * now)
    return row
  }

  /** Whether a bound's row is its target's figure. */
  private leads({ target, row }: Bound): boolean {
    const { rows } = this.frame.targets[target]!
    return rows.length === 1 || attains(rows, this.figures, row)
  }

  /** Adds a tangent where the last solution left a square's true value above its bound; whether any was. */
  private addTangents(slope: Float64Array, slopeAt: number): boolean {
    const { margin, gain, used, program } = this
    const { n } = this.frame.levers
    let added = false
    for (let i = 0; i < this.count; i++) {
      const bound = used[i]!
      if (!this.isSquare(bound) || bound.side < 0) continue
      const place = this.softs.of[bound.target]![0]
      let off = 1 - margin[i]!
      for (let l = 0; l < n; l++) off -= gain[i]! * slope[slopeAt + bound.row * n + l]! * this.step[l]!
      if (off <= 0 && !this.leads(bound)) continue
      const list = this.tangents[place]!
      const promised = program.value[n + 1 + place]!
      if (off * off <= promised + 1e-3 * promised + 1e-9 || list.length >= MOST_TANGENTS) continue
      list.push(off)
      added = true
    }
    return added
  }

  /** Whether a bound is one side of a should or could that is worth the square of its distance. */
  private isSquare({ target, level }: Bound): boolean {
    return target >= 0 && level !== MUST && this.frame.targets[target]!.kind === EQUAL_WITHIN
  }

  /** p ≥ |u + d − ½| for each lever. */
  private fillTies(u: Float64Array, tiesAt: number): void {
    const { program } = this
    const { n } = this.frame.levers
    for (let l = 0; l < n; l++)
      for (const side of [1, -1]) {
        const at = program.at(this.at)
        program.a[at + l] = side
        program.a[at + tiesAt + l] = -1
        program.b[this.at] = side * (0.5 - u[l]!)
        this.at++
      }
  }

  /** Bounds of the variables beside the step; levels met as they are stay met. */
  private openLevels(state: State, tiesAt: number, options: ChainOptions): void {
    const { program, frame } = this
    const { n } = frame.levers
    program.upper[n] = state.must > 0 ? 2 * state.must + 1 : 0
    this.softs.levels.forEach((level, place) => {
      const short = level === SHOULD ? state.should : state.could
      const settled = state.must <= 0 && short === 0 && (level === SHOULD || state.should === 0)
      program.upper[n + 1 + place] = settled ? 0 : 1e7
    })
    const room = n + 1 + this.softs.levels.length
    program.lower[room] = state.roomRows.length > 0 ? state.low - 1 : 0
    program.upper[room] = state.roomRows.length > 0 ? state.high + 1 : 0
    if (options.ties) for (let l = 0; l < n; l++) program.upper[tiesAt + l] = 2
  }

  private levels(
    y: Float64Array,
    yAt: number,
    slope: Float64Array,
    slopeAt: number,
    options: ChainOptions,
    state: State,
  ): boolean {
    const { program, frame } = this
    const { n } = frame.levers
    this.violation = this.should = this.could = 0
    const before = this.programs
    if (state.must > 0 || options.goal === 'violation') {
      this.price(n)
      if (!this.next()) return false
      this.violation = program.value[n]!
      if (options.goal === 'violation') return true
    }
    if (state.should !== 0 || state.must > 0) {
      const sum = this.leastSum(SHOULD)
      if (Number.isNaN(sum)) return false
      this.should = sum
    }
    if (state.could !== 0 || state.must > 0 || state.should !== 0) {
      const sum = this.leastSum(COULD)
      if (Number.isNaN(sum)) return false
      this.could = sum
    }
    for (let index = 0; index < frame.parts.length; index++) {
      const part = frame.parts[index]!
      if (part.kind === 'aim') {
        const value = y[yAt + part.row]!
        this.aims[index] = NONE
        if (!Number.isFinite(value) || (this.programs > before && program.settled)) continue
        this.cost.fill(0)
        const from = slopeAt + part.row * n
        let size = 0
        for (let l = 0; l < n; l++) size = Math.max(size, Math.abs(slope[from + l]!))
        if (size === 0 || !Number.isFinite(size)) continue
        for (let l = 0; l < n; l++) this.cost[l] = (part.sign * slope[from + l]!) / size
        if (!this.next()) return false
        this.aims[index] = part.sign * value
        for (let l = 0; l < n; l++)
          this.aims[index] = this.aims[index]! + part.sign * slope[from + l]! * program.value[l]!
      } else if (part.kind === 'margins' && state.roomRows.length > 0 && !(this.programs > before && program.settled)) {
        if (!this.widen(state.roomRows, options.rounds)) return false
      }
    }
    if (options.ties)
      for (let l = 0; l < n && !(this.programs > before && program.settles(n)); l++) {
        this.price(n + 2 + this.softs.levels.length + l)
        if (!this.next()) return false
      }
    // No level asks for anything: stay.
    if (this.programs === before) for (let l = 0; l < n; l++) program.value[l] = 0
    return true
  }

  /** Solves for the cost as it stands; whether that came to an end. */
  private next(): boolean {
    this.programs++
    return this.program.minimise(this.cost) === 'optimal'
  }

  /** Makes a level's sum as small as it can be and gives it, 0 where it has none; NaN where the program failed. */
  private leastSum(level: number): number {
    const { cost, program, softs } = this
    const first = this.frame.levers.n + 1
    let any = false
    for (let place = 0; place < softs.levels.length; place++) {
      if (softs.levels[place] !== level) continue
      if (!any) cost.fill(0)
      cost[first + place] = 1
      any = true
    }
    if (!any) return 0
    if (!this.next()) return Number.NaN
    let sum = 0
    for (let place = 0; place < softs.levels.length; place++)
      if (softs.levels[place] === level) sum += program.value[first + place]!
    return sum
  }

  /** The largest smallest margin, then the next smallest, and so on. */
  private widen(rows: readonly number[], rounds: number): boolean {
    const { program } = this
    this.price(this.frame.levers.n + 1 + this.softs.levels.length, -1)
    if (!this.next()) return false
    let left = rows
    for (let round = 0; round < rounds && !program.settles(this.frame.levers.n); round++) {
      left = left.filter(row => !program.tight(row))
      if (left.length === 0) return true
      const place = program.spread(left, 1e7)
      this.price(place, -1)
      if (!this.next()) return false
    }
    return true
  }

  private price(column: number, by = 1): void {
    this.cost.fill(0)
    this.cost[column] = by
  }
}

interface State {
  must: number
  should: number
  could: number
  low: number
  high: number
  roomRows: number[]
}

/** A number for a row and a side of it. */
function keyOf(row: number, side: number): number {
  return 2 * row + (side > 0 ? 1 : 0)
}

function attains(rows: readonly number[], figures: Float64Array, row: number): boolean {
  for (const other of rows)
    if (figures[other]! > figures[row]! || (figures[other] === figures[row] && other < row)) return false
  return true
}
