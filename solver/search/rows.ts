import { EQUAL, type Frame, MUST, SHOULD } from './frame.ts'
import { leading, type Sloping } from './leading.ts'
import type { ChainOptions, Standing } from './levels.ts'
import type { LinearProgram } from './linear-program.ts'
import type { Margins } from './margins.ts'
import { type Softs, softsOf } from './softs.ts'
import { Squares } from './squares.ts'

/** What a flight's own noise is given beside the room for nine digits. */
const LEAST_INSET = 1e-10

/**
 * The rows of a chain's linear programs. Their variables: the levers' steps (in shares, from `down` to `up`), the musts' violation, what the
 * softs are short, the room, and the levers' ties.
 */
export class Rows {
  readonly softs: Softs
  /** How far each lever may go, and what rounding to nine digits may move it. */
  readonly down: Float64Array
  readonly up: Float64Array
  readonly grain: Float64Array
  private readonly frame: Frame
  private readonly program: LinearProgram
  private readonly margins: Margins
  readonly squares: Squares
  /** By variable shared by several softs, their rows. */
  private readonly sharing: number[][]
  private at = 0
  /** Places among the bounds used whose margins count as room; by row and side, when it was last met among them. */
  private readonly counted: number[] = []
  private readonly seen: Float64Array
  private filled = 0

  constructor(frame: Frame, program: LinearProgram, margins: Margins) {
    this.frame = frame
    this.program = program
    this.margins = margins
    this.softs = softsOf(frame)
    this.sharing = this.softs.levels.map(() => [])
    this.squares = new Squares(frame, program, margins, this.softs)
    this.down = new Float64Array(frame.levers.n)
    this.up = new Float64Array(frame.levers.n)
    this.grain = new Float64Array(frame.levers.n)
    this.seen = new Float64Array(2 * frame.rows)
  }

  /** The columns of the room and of the first tie. */
  get roomAt(): number {
    return this.frame.levers.n + 1 + this.softs.levels.length
  }

  get tiesAt(): number {
    return this.roomAt + 1
  }

  /** Fills the program around `u`, where rows have the gradients `slope` from `slopeAt` on. */
  fill(u: Float64Array, slope: Float64Array, slopeAt: number, options: ChainOptions): Standing {
    const { program, tiesAt, down, up } = this
    const { n } = this.frame.levers
    const all = options.goal === 'all'
    const columns = tiesAt + (options.ties ? n : 0)
    const most = 4 * this.margins.count + (all ? this.squares.count() : 0) + (options.ties ? 2 * n : 0)
    program.reset(columns, most, all ? options.rounds : 0)
    for (let l = 0; l < n; l++) {
      program.lower[l] = down[l]!
      program.upper[l] = up[l]!
    }
    const standing = this.fillLevels(slope, slopeAt, options)
    if (options.ties) this.fillTies(u)
    program.rows = this.at
    this.openLevels(standing, options)
    return standing
  }

  /** The rows of the musts, softs and margins; tells what the levels are worth without a step. */
  private fillLevels(slope: Float64Array, slopeAt: number, options: ChainOptions): Standing {
    const { frame, program } = this
    const { margin, gain, used } = this.margins
    const { n } = frame.levers
    const { a, b } = program
    const violationAt = n
    const standing: Standing = {
      must: 0,
      should: 0,
      could: 0,
      low: Number.POSITIVE_INFINITY,
      high: Number.POSITIVE_INFINITY,
      roomRows: [],
    }
    for (const list of this.sharing) list.length = 0
    let row = 0
    for (let i = 0; i < this.margins.count; i++) {
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
        standing.must = Math.max(standing.must, inset - margin[i]!)
        row++
      } else {
        if (!this.margins.isSquare(bound)) {
          const below = this.softs.single ? a[at]! < 0 : bound.side < 0
          const place = this.softs.of[bound.target]![below ? 0 : 1]
          a[at + n + 1 + place] = -1
          b[row] = margin[i]! - inset
          if (this.softs.sizes[place]! > 1) this.sharing[place]!.push(row)
          const short = Math.max(0, inset - margin[i]!)
          if (bound.level === SHOULD) standing.should = Math.max(standing.should, short)
          else standing.could = Math.max(standing.could, short)
          row++
        } else if (bound.side > 0) row = this.squares.fill(row, i, slope, slopeAt, standing)
      }
    }
    for (const list of this.sharing) if (list.length > 1) this.sumUp(list)
    this.at = options.goal === 'all' ? this.fillRoom(row, slope, slopeAt, standing) : row
    return standing
  }

  /** The rows that hold the room below the margins of musts and shoulds, from row `row` on. */
  private fillRoom(row: number, slope: Float64Array, slopeAt: number, standing: Standing): number {
    const { frame, program, margins, down, up } = this
    const { margin, gain, used } = margins
    const { n } = frame.levers
    this.filled++
    const { counted, seen, roomAt } = this
    counted.length = 0
    let shared = false
    for (let i = 0; i < this.margins.count; i++) {
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
      standing.low = Math.min(standing.low, margin[i]! - reach)
      standing.high = Math.min(standing.high, margin[i]! + reach)
    }
    let next = row
    for (const i of shared ? this.leadingOf(slope, slopeAt) : counted) {
      const at = program.at(next)
      for (let l = 0; l < n; l++) program.a[at + l] = -gain[i]! * slope[slopeAt + used[i]!.row * n + l]!
      program.a[at + roomAt] = 1
      program.b[next] = margin[i]!
      standing.roomRows.push(next)
      next++
    }
    return next
  }

  /** Of the margins counted those that may be the smallest of all on one figure and side somewhere in the box. */
  private leadingOf(slope: Float64Array, slopeAt: number): readonly number[] {
    const { down, up, counted } = this
    const { margin, gain, used } = this.margins
    const { n } = this.frame.levers
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

  /** p ≥ |u + d − ½| for each lever. */
  private fillTies(u: Float64Array): void {
    const { program, tiesAt } = this
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
  private openLevels(standing: Standing, options: ChainOptions): void {
    const { program, frame, roomAt: room, tiesAt } = this
    const { n } = frame.levers
    program.upper[n] = standing.must > 0 ? 2 * standing.must + 1 : 0
    this.softs.levels.forEach((level, place) => {
      const short = level === SHOULD ? standing.should : standing.could
      const settled = standing.must <= 0 && short === 0 && (level === SHOULD || standing.should === 0)
      program.upper[n + 1 + place] = settled ? 0 : 1e7
    })
    program.lower[room] = standing.roomRows.length > 0 ? standing.low - 1 : 0
    program.upper[room] = standing.roomRows.length > 0 ? standing.high + 1 : 0
    if (options.ties) for (let l = 0; l < n; l++) program.upper[tiesAt + l] = 2
  }
}

/** A number for a row and a side of it. */
function keyOf(row: number, side: number): number {
  return 2 * row + (side > 0 ? 1 : 0)
}
