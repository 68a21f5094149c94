import { type Frame, SHOULD } from './frame.ts'
import type { Standing } from './levels.ts'
import type { LinearProgram } from './linear-program.ts'
import type { Margins } from './margins.ts'
import type { Softs } from './softs.ts'

const MOST_TANGENTS = 12

/** The rows of softs that are worth the square of their distance: tangents of the square, more of them where a program has left it. */
export class Squares {
  private readonly frame: Frame
  private readonly program: LinearProgram
  private readonly margins: Margins
  private readonly softs: Softs
  /** By variable, where its square is touched. */
  private readonly tangents: readonly number[][]

  constructor(frame: Frame, program: LinearProgram, margins: Margins, softs: Softs) {
    this.frame = frame
    this.program = program
    this.margins = margins
    this.softs = softs
    this.tangents = softs.levels.map(() => [])
  }

  /** Forgets the tangents of the point before. */
  forget(): void {
    for (const list of this.tangents) list.length = 0
  }

  /** How many rows there are so far. */
  count(): number {
    let count = 0
    for (let i = 0; i < this.margins.count; i++) {
      const bound = this.margins.used[i]!
      if (bound.side > 0 && this.margins.isSquare(bound))
        count += this.tangents[this.softs.of[bound.target]![0]]!.length
    }
    return count
  }

  /**
   * q ≥ 2 z r − z² at each tangent point z of a square, r = (x − X)/T. Where the figure is the largest of several rows, one that is not it
   * counts only where it would lie above X.
   */
  fill(row: number, i: number, slope: Float64Array, slopeAt: number, standing: Standing): number {
    const { program } = this
    const { margin, gain, used } = this.margins
    const { n } = this.frame.levers
    const bound = used[i]!
    const place = this.softs.of[bound.target]![0]
    const now = 1 - margin[i]!
    const leads = this.margins.leads(bound)
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
    if (bound.level === SHOULD) standing.should = Math.max(standing.should, now * now)
    else standing.could = Math.max(standing.could, now * now)
    return row
  }

  /** Adds a tangent where the last solution left a square's true value above its bound; whether any was. */
  add(slope: Float64Array, slopeAt: number): boolean {
    const { program } = this
    const { margin, gain, used } = this.margins
    const { n } = this.frame.levers
    let added = false
    for (let i = 0; i < this.margins.count; i++) {
      const bound = used[i]!
      if (!this.margins.isSquare(bound) || bound.side < 0) continue
      const place = this.softs.of[bound.target]![0]
      let off = 1 - margin[i]!
      for (let l = 0; l < n; l++) off -= gain[i]! * slope[slopeAt + bound.row * n + l]! * program.value[l]!
      if (off <= 0 && !this.margins.leads(bound)) continue
      const list = this.tangents[place]!
      const promised = program.value[n + 1 + place]!
      if (off * off <= promised + 1e-3 * promised + 1e-9 || list.length >= MOST_TANGENTS) continue
      list.push(off)
      added = true
    }
    return added
  }
}
