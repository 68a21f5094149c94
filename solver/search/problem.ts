import type { Range } from '../model/model.ts'

export type Accuracy = 'loose' | 'medium' | 'tight'

/**
 * One scalar that the search models. `exact` rows are algebra, computed anywhere at no cost; the others come from a flight.
 * The search works on the row's own value s; `figure(s)` maps it to the figure it stands for (apoapsis energy → apoapsis), monotone rising.
 */
export interface Row {
  readonly exact: boolean
  readonly figure: ((s: number) => number) | null
  /** The least that the figure can really be, where \`figure\` goes on below it: the ground, for the apoapsis of a rocket that does not lift. */
  readonly least?: number
  /** Which levers it may hang on, however little it shows: one that only decides between two formulas moves it by jumps. Left out where nobody knows. */
  readonly reach?: readonly boolean[]
  /** Whether it is algebra that may jump or bend between neighbouring settings (a choice, a table, the larger of two, a pole): then its slopes tell of their own place alone. */
  readonly uneven?: boolean
}

/**
 * A target over rows. The figure judged is the largest of `rows` (mapped by `figure`): peak g has a row per phase.
 * Limits are constants in the figure's units (−∞ and +∞ where open) and, for the rows' own values, `rowLow`, `rowHigh`.
 */
export interface SearchTarget {
  readonly level: 'must' | 'should' | 'could'
  readonly kind: 'at least' | 'at most' | 'within' | 'equal to' | 'equal within'
  readonly rows: readonly number[]
  readonly low: number
  readonly high: number
  readonly rowLow: number
  readonly rowHigh: number
  /** What one unit of margin is, in the figure's units (|limit|, half a band's width, or the told scale): margin = slack / scale. */
  readonly scale: number
  /** Which levers it may hang on. Left out where nobody knows. */
  readonly reach?: readonly boolean[]
}

export type SearchAim = { readonly sense: 'least' | 'most'; readonly row: number } | { readonly sense: 'roomiest' }

/** The rows at one point. NaN: the row has no value there (a target on it is not met). Slopes are per SI unit of each lever: `slopes[row * levers + l]`. */
export interface Sample {
  readonly rows: Float64Array
  readonly slopes: Float64Array
  /** Every flight leaves the pad; rows of one that does not say nothing about their neighbours. */
  readonly lifts: boolean
  /** Flights' worth of work this sample cost. */
  readonly work: number
}

/** What the search is given. It knows no flights: only levers, rows and the two ways to get them. `x` is lever values in SI, in the order of `levers`. */
export interface SearchProblem {
  /** In order of name: ties fall by it. */
  readonly levers: readonly Range[]
  /** A box already narrowed by intervals, inside the ranges; nothing outside it can meet the musts. */
  readonly low: Float64Array
  readonly high: Float64Array
  readonly rows: readonly Row[]
  readonly targets: readonly SearchTarget[]
  /** Levers that no target and no aim hangs on; left out where there is none. */
  readonly idle?: readonly boolean[]
  /** In order; ends with roomiest always. */
  readonly aims: readonly SearchAim[]
  /** Exact rows only (others NaN), and whether every flight lifts. Cheap, and half as dear where `slopes` is false and none are wanted. */
  readonly algebra: (x: Float64Array, slopes?: boolean) => Sample
  /** All rows, slopes too where asked. A tight sample is the flight that will be reported. */
  readonly fly: (x: Float64Array, accuracy: Accuracy, slopes: boolean) => Sample
}

export interface SearchResult {
  readonly outcome: 'solved' | 'conflict' | 'unsure'
  /** solved: 'proved' where every other setting was worked out, flown tightly or ruled out by algebra. conflict: 'proved' where algebra alone shows it. */
  readonly evidence: 'proved' | 'searched'
  /** The settings; in a conflict the closest compromise (least largest violation of the musts); null only where no point has any value. */
  readonly x: Float64Array | null
  /** Flights' worth of work, derivatives counted. */
  readonly flights: number
  /** What was tried, in words, for `unsure` and `conflict`. */
  readonly tried: string
}

/** A point flown: lever values in SI, and how well it was flown. */
export interface Flown {
  readonly x: Float64Array
  readonly accuracy: Accuracy
  readonly sample: Sample
  /** Its slopes were not asked for: it tells of its own place alone. */
  readonly bare?: boolean
}
