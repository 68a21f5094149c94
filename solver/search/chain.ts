import { type Bound, COULD, type Frame, SHOULD } from './frame.ts'
import type { ChainOptions, Standing } from './levels.ts'
import { LinearProgram } from './linear-program.ts'
import { Margins } from './margins.ts'
import { Rows } from './rows.ts'

const NONE = Number.NaN
/** Half the distance of nine-digit numbers, at most, as a share of the number. */
const NINE_DIGITS = 5e-9

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
  private readonly margins: Margins
  private readonly rows: Rows
  private cost = new Float64Array(0)

  constructor(frame: Frame) {
    this.frame = frame
    this.step = new Float64Array(frame.levers.n)
    this.aims = new Float64Array(frame.parts.length)
    this.low = frame.levers.low.slice()
    this.high = frame.levers.high.slice()
    this.margins = new Margins(frame)
    this.rows = new Rows(frame, this.program, this.margins)
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
    this.aimAt(u, center, radius, own)
    this.margins.take(bounds, y, yAt)
    this.rows.squares.forget()
    for (let round = 0; ; round++) {
      const standing = this.rows.fill(u, slope, slopeAt, options)
      if (!this.levels(y, yAt, slope, slopeAt, options, standing)) return false
      if (round >= 8 || options.goal === 'violation' || !this.rows.squares.add(slope, slopeAt)) break
    }
    for (let l = 0; l < this.step.length; l++) this.step[l] = this.program.value[l]!
    return true
  }

  /** How far the levers may go from `u`: inside the box, within `radius` of the center and `own` of `u` itself. */
  private aimAt(u: Float64Array, center: Float64Array, radius: number, own: number): void {
    const { levers } = this.frame
    const { down, up, grain } = this.rows
    for (let l = 0; l < levers.n; l++) {
      const low = Math.max(this.low[l]!, center[l]! - radius, u[l]! - own)
      const high = Math.min(this.high[l]!, center[l]! + radius, u[l]! + own)
      down[l] = Math.min(low, high) - u[l]!
      up[l] = Math.max(low, high) - u[l]!
      const x = levers.from[l]! + u[l]! * levers.width[l]!
      grain[l] = levers.step[l] === 0 ? (NINE_DIGITS * Math.abs(x)) / levers.width[l]! : 0
    }
  }

  private levels(
    y: Float64Array,
    yAt: number,
    slope: Float64Array,
    slopeAt: number,
    options: ChainOptions,
    standing: Standing,
  ): boolean {
    const { program, frame, rows } = this
    const { n } = frame.levers
    const most = rows.tiesAt + n + options.rounds
    if (this.cost.length < most) this.cost = new Float64Array(2 * most)
    this.violation = this.should = this.could = 0
    const before = this.programs
    if (standing.must > 0 || options.goal === 'violation') {
      this.price(n)
      if (!this.next()) return false
      this.violation = program.value[n]!
      if (options.goal === 'violation') return true
    }
    if (standing.should !== 0 || standing.must > 0) {
      const sum = this.leastSum(SHOULD)
      if (Number.isNaN(sum)) return false
      this.should = sum
    }
    if (standing.could !== 0 || standing.must > 0 || standing.should !== 0) {
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
      } else if (
        part.kind === 'margins' &&
        standing.roomRows.length > 0 &&
        !(this.programs > before && program.settled)
      ) {
        if (!this.widen(standing.roomRows, options.rounds)) return false
      }
    }
    if (options.ties)
      for (let l = 0; l < n && !(this.programs > before && program.settles(n)); l++) {
        this.price(rows.tiesAt + l)
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
    const { cost, program } = this
    const { softs } = this.rows
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
    this.price(this.rows.roomAt, -1)
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
