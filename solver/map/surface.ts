import type { Range } from '../model/model.ts'
import type { SearchProblem } from '../search/problem.ts'
import { type Corner, layPatch, type Patch, patchAt, patchOf, weightsAt } from './patch.ts'

/** Cells across one cell of the first, coarse grid: a power of two. */
const COARSE = 8
/** Of the ordinates of a patch, by the size of its cell. */
const WEIGHTS: readonly Float64Array[] = Array.from({ length: COARSE + 1 }, (_, size) => weightsAt(size))
/** A limit's line may be off by so much of a cell before its cell is divided. */
const WELL = 0.04
/** Beyond its own bounds a patch is trusted this many times the error seen in its middle. */
const WARY = 3

/** One side of a target over one row: kept where side·(y − limit) ≤ 0, y being the row's value as modelled. */
export interface Line {
  readonly target: number
  readonly row: number
  /** 1: from above (`at most`), −1: from below. */
  readonly side: 1 | -1
  readonly limit: number
}

/** The two levers of a map as grid steps: point (i, j) is `from + i·(to − from)/cells`. */
export interface Grid {
  readonly cells: number
  readonly across: Range
  readonly up: Range
}

interface Leaf {
  readonly i: number
  readonly j: number
  readonly size: number
  /** By row of the problem; null where its corners do not all lift or have no value. */
  readonly patches: readonly (Patch | null)[]
}

/**
 * The rows of a problem over two levers, flown where it matters: on a coarse grid with slopes, then in ever smaller cells where a limit
 * runs through and the middle of the cell shows that the cubic through its corners is not good enough.
 */
export class Surface {
  readonly grid: Grid
  /** Points flown. */
  flown = 0
  work = 0
  private readonly problem: SearchProblem
  private readonly lines: readonly Line[]
  /** Which lever of the problem runs across. */
  private readonly lane: 0 | 1
  private readonly sloped: boolean
  /** Halves of rows' largest limits: y = asinh(s / half) is modelled, so that far values do not bend near ones. 0: as it is. */
  private readonly half: Float64Array
  private readonly known = new Map<number, number>()
  private values: Float64Array[] = []
  private across: Float64Array[] = []
  private up: Float64Array[] = []
  private readonly lifts: boolean[] = []
  readonly leaves: Leaf[] = []

  /** Without `sloped` the problem tells no slopes: cells are filled by straight lines between their corners. */
  constructor(problem: SearchProblem, grid: Grid, lane: 0 | 1, sloped = true) {
    this.sloped = sloped
    this.problem = problem
    this.grid = grid
    this.lane = lane
    this.half = Float64Array.from(problem.rows, (row, r) => (row.exact ? 0 : halfOf(problem, r)))
    this.lines = linesOf(problem, (row, s) => this.modelled(row, s))
    for (let j = 0; j < grid.cells; j += COARSE) for (let i = 0; i < grid.cells; i += COARSE) this.settle(i, j, COARSE)
  }

  get limits(): readonly Line[] {
    return this.lines
  }

  /** A row's value as modelled. */
  modelled(row: number, s: number): number {
    const half = this.half[row]!
    return half > 0 ? Math.asinh(s / half) : s
  }

  /** Lever values of a grid point, in the problem's order. */
  point(i: number, j: number): Float64Array {
    const { across, up, cells } = this.grid
    const a = across.from + (i / cells) * (across.to - across.from)
    const b = up.from + (j / cells) * (up.to - up.from)
    return this.lane === 0 ? Float64Array.of(a, b) : Float64Array.of(b, a)
  }

  /** Where flown: the sample's place, flown at need. */
  private at(i: number, j: number): number {
    const key = j * (2 * this.grid.cells + 2) + i
    const known = this.known.get(key)
    if (known !== undefined) return known
    const sample = this.problem.fly(this.point(i, j), 'medium', this.sloped)
    const place = this.lifts.length
    this.flown++
    this.work += sample.work
    const { rows } = this.problem
    const { cells, across, up } = this.grid
    const widths = [(across.to - across.from) / cells, (up.to - up.from) / cells] as const
    const y = new Float64Array(rows.length)
    const bySteps = [new Float64Array(rows.length), new Float64Array(rows.length)] as const
    for (let r = 0; r < rows.length; r++) {
      const s = sample.rows[r]!
      const half = this.half[r]!
      const bend = half > 0 ? 1 / Math.hypot(s, half) : 1
      y[r] = half > 0 ? Math.asinh(s / half) : s
      bySteps[0][r] = sample.slopes[2 * r + this.lane]! * widths[0] * bend
      bySteps[1][r] = sample.slopes[2 * r + 1 - this.lane]! * widths[1] * bend
    }
    this.values.push(y)
    this.across.push(bySteps[0])
    this.up.push(bySteps[1])
    this.lifts.push(sample.lifts)
    this.known.set(key, place)
    return place
  }

  private settle(i: number, j: number, size: number): void {
    const corners = [this.at(i, j), this.at(i + size, j), this.at(i, j + size), this.at(i + size, j + size)] as const
    const lifting = corners.filter(place => this.lifts[place]).length
    const whole = lifting === 4 || lifting === 0
    const patches = this.problem.rows.map((row, r) => (whole || row.exact ? this.patch(corners, r, size) : null))
    if (size > 1 && (whole ? this.coarse(i, j, size, patches) : true)) {
      const half = size / 2
      for (const [di, dj] of [
        [0, 0],
        [half, 0],
        [0, half],
        [half, half],
      ] as const)
        this.settle(i + di, j + dj, half)
      return
    }
    this.leaves.push({ i, j, size, patches })
  }

  private patch(corners: readonly [number, number, number, number], row: number, size: number): Patch | null {
    const cornerAt = (place: number): Corner => [
      this.values[place]![row]!,
      size * this.across[place]![row]!,
      size * this.up[place]![row]!,
    ]
    const at = (this.sloped ? corners.map(cornerAt) : this.straight(corners, row)) as [Corner, Corner, Corner, Corner]
    return at.every(corner => corner.every(Number.isFinite)) ? patchOf(at) : null
  }

  /** Corners whose slopes are the differences between them. */
  private straight(corners: readonly [number, number, number, number], row: number): Corner[] {
    const [a, b, c, d] = corners.map(place => this.values[place]![row]!) as [number, number, number, number]
    return [
      [a, b - a, c - a],
      [b, b - a, d - b],
      [c, d - c, c - a],
      [d, d - c, d - b],
    ]
  }

  /** Whether some limit runs through a cell and its patch is not good enough. */
  private coarse(i: number, j: number, size: number, patches: readonly (Patch | null)[]): boolean {
    const half = size / 2
    let centre = -1
    for (const { row, limit } of this.lines) {
      const patch = patches[row]!
      if (patch === null) return this.mixed(i, j, size, row)
      const reach = 0.1 * (patch.high - patch.low)
      const first = size === COARSE
      // The coarsest cells are looked into whatever their patch says: a small island may hide between four corners.
      if (!first && (limit < patch.low - reach || limit > patch.high + reach)) continue
      if (centre === -1) centre = this.at(i + half, j + half)
      const y = this.values[centre]![row]!
      if (!Number.isFinite(y)) return true
      const error = Math.abs(y - patchAt(patch, 0.5, 0.5))
      if (limit < patch.low - WARY * error || limit > patch.high + WARY * error) continue
      const slope = Math.hypot(this.across[centre]![row]!, this.up[centre]![row]!)
      if (error > WELL * slope && error > 1e-9 * Math.max(1, Math.abs(y))) return true
    }
    return false
  }

  /** Whether only some corners have a value in a row. */
  private mixed(i: number, j: number, size: number, row: number): boolean {
    const finite = [
      [i, j],
      [i + size, j],
      [i, j + size],
      [i + size, j + size],
    ].filter(([a, b]) => Number.isFinite(this.values[this.at(a!, b!)]![row]!)).length
    return finite > 0 && finite < 4
  }

  /** A row's modelled values on the whole grid, (cells + 1)² of them, `j (cells + 1) + i`; NaN where it has none. */
  raster(row: number): Float64Array {
    const width = this.grid.cells + 1
    const raster = new Float64Array(width * width).fill(Number.NaN)
    for (const { i, j, size, patches } of this.leaves) {
      const patch = patches[row]
      if (patch) {
        layPatch(patch, WEIGHTS[size]!, raster, j * width + i, width)
        continue
      }
      for (let b = 0; b <= size; b += size)
        for (let a = 0; a <= size; a += size)
          raster[(j + b) * width + i + a] = this.values[this.at(i + a, j + b)]![row]!
    }
    return raster
  }

  /** 1 where a rocket leaves the pad, −1 where not, on the whole grid; null where it does everywhere. */
  liftRaster(): Float64Array | null {
    if (this.lifts.every(Boolean)) return null
    const width = this.grid.cells + 1
    const raster = new Float64Array(width * width)
    for (const { i, j, size } of this.leaves)
      for (let b = 0; b <= size; b++)
        for (let a = 0; a <= size; a++) {
          // Only a cell of size 1 has corners of both kinds: its points are its corners.
          const place = size === 1 ? this.at(i + a, j + b) : this.at(i, j)
          raster[(j + b) * width + i + a] = this.lifts[place] ? 1 : -1
        }
    return raster
  }
}

function halfOf({ targets }: SearchProblem, row: number): number {
  let largest = 0
  for (const target of targets) {
    if (!target.rows.includes(row)) continue
    for (const limit of [target.rowLow, target.rowHigh])
      if (Number.isFinite(limit)) largest = Math.max(largest, Math.abs(limit))
  }
  return largest / 2
}

function linesOf({ targets }: SearchProblem, modelled: (row: number, s: number) => number): Line[] {
  return targets.flatMap(({ rows, rowLow, rowHigh }, target) =>
    rows.flatMap(row => {
      const lines: Line[] = []
      if (Number.isFinite(rowHigh)) lines.push({ target, row, side: 1, limit: modelled(row, rowHigh) })
      if (Number.isFinite(rowLow)) lines.push({ target, row, side: -1, limit: modelled(row, rowLow) })
      return lines
    }),
  )
}
