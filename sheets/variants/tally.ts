import type { Outcome } from '../answer.ts'
import type { VariantCell, VariantColumn } from './answer.ts'

/** A variant that is told by itself. */
export type Told = readonly VariantCell[]

/** What is known of many variants without keeping them: plain data. */
export interface TallyState {
  readonly outcomes: Record<Outcome, number>
  /** Solved ones that meet every target, not only the musts. */
  met: number
  /** Conflicts by the musts that stay short at the closest compromise, names joined by line breaks. */
  readonly short: Record<string, number>
  readonly problems: Record<string, number>
  /** Best and worst solved variant, by the place of an aim's column. */
  readonly ends: Record<string, { best: Told; worst: Told }>
  /** Meeting every target, solved, and all, by value of a varied column (by its place); null where there are too many values. */
  readonly values: Record<string, Record<string, [number, number, number]> | null>
  /** The best by the rank asked for, best first. */
  readonly ranked: Told[]
  /** How variants ended by two varied columns' values: the value across, a line break, the value up. */
  cells: Record<string, Record<Fate, number>>
}

/** An outcome, with those solved told apart by whether every target is met or the musts alone. */
export type Fate = 'met' | Outcome

/** What is counted beside the usual. */
export interface TallyWishes {
  readonly rank?: { readonly place: number; readonly sense: 'least' | 'most' }
  /** Places of two varied columns, the second null where only one varies. */
  readonly cross?: readonly [number, number | null]
}

export const MOST_RANKED = 10
/** Distinct values, sorts of conflict and problems kept apart; the rest is counted together. */
const MOST_VALUES = 200
const MOST_SORTS = 40
export const OTHERS = 'others'
/** A must is short below this margin. */
const SHORT = -1e-6

export function emptyTally(): TallyState {
  return {
    outcomes: { solved: 0, conflict: 0, unsure: 0, faulty: 0 },
    met: 0,
    short: {},
    problems: {},
    ends: {},
    values: {},
    ranked: [],
    cells: {},
  }
}

/** Counts variants row by row, or some at a time, in the order of their numbers. */
export class Tally {
  readonly columns: readonly VariantColumn[]
  readonly wishes: TallyWishes
  readonly state: TallyState
  private readonly outcome: number
  private readonly problem: number
  private readonly musts: readonly number[]
  private readonly margins: readonly number[]
  private readonly varied: readonly number[]
  private readonly aims: readonly number[]
  private readonly mostSorts: number
  private readonly valueCounts: number[] = []
  private cellCount: number

  /** `mostSorts`: how many sorts of conflict and problems are kept apart. What is to be added to another keeps all. */
  constructor(
    columns: readonly VariantColumn[],
    wishes: TallyWishes = {},
    state: TallyState = emptyTally(),
    mostSorts = MOST_SORTS,
  ) {
    this.columns = columns
    this.wishes = wishes
    this.mostSorts = mostSorts
    this.state = {
      ...state,
      outcomes: { ...state.outcomes },
      short: counts(state.short),
      problems: counts(state.problems),
      ends: { ...state.ends },
      values: { ...state.values },
      ranked: [...state.ranked],
      cells: counts(state.cells),
    }
    this.cellCount = Object.keys(state.cells).length
    const places = (which: (column: VariantColumn) => boolean): readonly number[] =>
      columns.flatMap((column, place) => (which(column) ? [place] : []))
    this.outcome = columns.findIndex(column => column.role === 'outcome')
    this.problem = columns.findIndex(column => column.role === 'problem')
    this.musts = places(column => column.role === 'margin' && column.level === 'must')
    this.margins = places(column => column.role === 'margin')
    this.varied = places(column => column.role === 'varied')
    this.aims = places(column => column.sense !== undefined)
    for (const place of this.varied) {
      const known = state.values[place]
      this.valueCounts[place] = Object.keys(known ?? {}).length
      if (known !== null) this.state.values[place] = counts(known)
    }
  }

  get total(): number {
    const { solved, conflict, unsure, faulty } = this.state.outcomes
    return solved + conflict + unsure + faulty
  }

  /** Counts a variant, and says how it ended. */
  take(row: Told): Fate {
    const outcome = row[this.outcome] as Outcome
    const { outcomes, short, problems } = this.state
    outcomes[outcome]++
    if (outcome === 'conflict') this.count(short, this.shortOf(row), 1)
    if (outcome === 'faulty') this.count(problems, String(row[this.problem] ?? ''), 1)
    if (outcome === 'solved') {
      for (const place of this.aims) if (row[place] !== null) this.end(place, row, row)
      this.rank(row)
    }
    const solved = outcome === 'solved'
    const met = solved && this.margins.every(place => !isShort(row[place]))
    if (met) this.state.met++
    for (const place of this.varied) this.value(place, String(row[place] ?? ''), met ? 1 : 0, solved ? 1 : 0, 1)
    const fate = met ? 'met' : outcome
    const { cross } = this.wishes
    if (cross) this.cell(crossKey(row, cross), fate, 1)
    return fate
  }

  /** Adds what was counted of the variants that come next, as if they had been taken one by one. */
  add(next: TallyState): void {
    const { outcomes, short, problems } = this.state
    for (const outcome of Object.keys(outcomes) as Outcome[]) outcomes[outcome] += next.outcomes[outcome]
    this.state.met += next.met
    for (const [sort, many] of Object.entries(next.short)) this.count(short, sort, many)
    for (const [sort, many] of Object.entries(next.problems)) this.count(problems, sort, many)
    for (const place of this.aims) {
      const ends = next.ends[place]
      if (ends) this.end(place, ends.best, ends.worst)
    }
    for (const row of next.ranked) this.rank(row)
    for (const place of this.varied) {
      const table = next.values[place]
      if (table === null) this.state.values[place] = null
      else
        for (const [value, [met, solved, all]] of Object.entries(table ?? {}))
          this.value(place, value, met, solved, all)
    }
    for (const [key, fates] of Object.entries(next.cells))
      for (const [fate, many] of Object.entries(fates)) if (many > 0) this.cell(key, fate as Fate, many)
  }

  private shortOf(row: Told): string {
    return this.musts
      .filter(place => isShort(row[place]))
      .map(place => this.columns[place]!.name.replace(/^margin of /, ''))
      .join('\n')
  }

  private count(counts: Record<string, number>, sort: string, many: number): void {
    const key = sort in counts || Object.keys(counts).length < this.mostSorts ? sort : OTHERS
    counts[key] = (counts[key] ?? 0) + many
  }

  private value(place: number, value: string, met: number, solved: number, all: number): void {
    const { values } = this.state
    const table = values[place]
    if (!table) return
    const known = table[value]
    if (known) {
      known[0] += met
      known[1] += solved
      known[2] += all
      return
    }
    table[value] = [met, solved, all]
    this.valueCounts[place]!++
    if (this.valueCounts[place]! > MOST_VALUES) values[place] = null
  }

  /** Of rows that end alike the first is told. */
  private end(place: number, best: Told, worst: Told): void {
    const { ends } = this.state
    const known = ends[place]
    if (!known) {
      ends[place] = { best, worst }
      return
    }
    const sign = this.columns[place]!.sense === 'most' ? -1 : 1
    const value = (row: Told): number => sign * numberOf(row[place])
    if (value(best) < value(known.best)) known.best = best
    if (value(worst) > value(known.worst)) known.worst = worst
  }

  private rank(row: Told): void {
    const { rank } = this.wishes
    if (!rank || row[rank.place] === null) return
    const { ranked } = this.state
    const key = (each: Told): number => (rank.sense === 'most' ? -1 : 1) * numberOf(each[rank.place])
    const at = ranked.findIndex(other => key(row) < key(other))
    if (at >= 0) ranked.splice(at, 0, row)
    else ranked.push(row)
    if (ranked.length > MOST_RANKED) ranked.length = MOST_RANKED
  }

  private cell(key: string, fate: Fate, many: number): void {
    const { cells } = this.state
    const known = cells[key]
    if (known) {
      known[fate] += many
      return
    }
    cells[key] = { met: 0, solved: 0, conflict: 0, unsure: 0, faulty: 0, [fate]: many }
    // Counted only where one is added: a run has many more rows than cells.
    if (++this.cellCount > MOST_CELLS) throw new TooManyCells()
  }
}

function crossKey(row: Told, [across, up]: readonly [number, number | null]): string {
  return `${row[across] ?? ''}\n${up === null ? '' : (row[up] ?? '')}`
}

/** A table by words of anybody's: none of them means anything to it, such as "constructor". */
function counts<T>(from: Readonly<Record<string, T>> | undefined): Record<string, T> {
  return Object.assign(Object.create(null) as Record<string, T>, from)
}

/** Beyond, a picture shows nothing. */
export const MOST_CELLS = 10_000

export class TooManyCells extends Error {}

/** A margin that is none, or below zero by more than a hair. */
export function isShort(margin: VariantCell | undefined): boolean {
  return typeof margin === 'number' ? margin < SHORT : margin !== 'infinity'
}

export function numberOf(cell: VariantCell | undefined): number {
  if (typeof cell === 'number') return cell
  if (cell === 'infinity') return Number.POSITIVE_INFINITY
  return cell === '-infinity' ? Number.NEGATIVE_INFINITY : Number.NaN
}
