import type { Problem } from '../grammar/source.ts'
import type { MapMemory } from '../solver/index.ts'
import type { Outcome, Setting, TargetAnswer } from './answer.ts'

/** A place on a trade map in SI: the lever across, the lever up. */
export type MapPlace = readonly [number, number]
/** Rings are closed (the first place repeated last); inside is told by the even-odd rule. */
export type MapRing = readonly MapPlace[]

/** One stretch of the line on which a target stands at its limit. */
export interface MapLineAnswer {
  /** The target as `tidy` prints it, without its level. */
  readonly target: string
  readonly level: TargetAnswer['level']
  /** Which end of the limit it is: of `at least` the low one, of `at most` the high one. */
  readonly end: 'low' | 'high'
  /** Places in a row; the side on which the target is met lies to the left of their way. */
  readonly points: readonly MapPlace[]
}

/** One contour of the first aim. */
export interface MapContour {
  readonly si: number
  readonly text: string
  readonly points: readonly MapPlace[]
}

/** The most cells that a map has each way, and the most settings of a front; who asks for more gets so many. */
export const MOST_CELLS = 2000
export const MOST_POINTS = 500

/** What a trade map is asked for. */
export interface MapRequest {
  /** The levers across and up; by default the first two of the sheet that are not set. */
  readonly across?: string
  readonly up?: string
  readonly set?: Readonly<Record<string, string | number>>
  /** Cells each way, by default 200 (48 where the others are solved): a multiple of 8, no fewer than 8 and no more than 2,000, the nearest of which is taken. */
  readonly cells?: number
  /** Whether the other levers are held where the sheet is solved (by default) or solved anew at each place: then limits have no lines. */
  readonly others?: 'held' | 'solve'
  /** Whether a place that a solve came to before its watch ended it will do: the map then shows where that answer stands. */
  readonly stopped?: boolean
  /** Given to one map after another, what was flown for one is not flown again for the next, as long as no more than limits differ. */
  readonly memory?: MapMemory
}

/** What `map --json` prints: all places in SI. */
export interface MapAnswer {
  readonly sheet: string
  /** How the sheet is solved; `faulty` where the sheet or what was asked is wrong. */
  readonly outcome: Outcome
  readonly across: string
  readonly up: string
  /** Where every must is met, and where every should is as well. */
  readonly region: readonly MapRing[]
  readonly wanted: readonly MapRing[]
  readonly lines: readonly MapLineAnswer[]
  /** Where the sheet is solved; null in a conflict. */
  readonly solution: MapPlace | null
  /** In a conflict the closest compromise. */
  readonly compromise: MapPlace | null
  /** The stepped settings inside the region, where there are at most 500. */
  readonly settings: readonly MapPlace[]
  /** The whole map: both levers' ranges, in SI, and the units they are written in. */
  readonly ranges: { readonly across: MapPlace; readonly up: MapPlace }
  readonly units: { readonly across: string; readonly up: string }
  /** Steps of the two levers in SI, null where one has none. */
  readonly steps: { readonly across: number | null; readonly up: number | null }
  /** Where the rocket never leaves the pad. */
  readonly pad: readonly MapRing[]
  readonly aim: { readonly text: string; readonly contours: readonly MapContour[] } | null
  /** The other levers and the settings they are held at; none where they are solved at each place. */
  readonly others: Readonly<Record<string, Setting>>
  readonly problems: readonly Problem[]
  readonly work: { readonly flights: number; readonly milliseconds: number }
}

/** What the front of two aims is asked for. */
export interface FrontRequest {
  readonly set?: Readonly<Record<string, string | number>>
  /** Places of the front, by default 33, no fewer than 2 and no more than 500; with steps there may be fewer. */
  readonly points?: number
}

/** One place of the front: neither aim can improve on it without the other losing. */
export interface FrontPoint {
  readonly settings: Readonly<Record<string, Setting>>
  /** What the two aims are worth [SI], and as shown. */
  readonly aims: readonly [number, number]
  readonly texts: readonly [string, string]
}

/** What `map --front --json` prints. */
export interface FrontAnswer {
  readonly sheet: string
  readonly outcome: Outcome
  /** The two aims, as the sheet says them, and the units they are shown in. */
  readonly aims: readonly string[]
  readonly units: readonly string[]
  /** From the best of the first aim to the best of the second. */
  readonly points: readonly FrontPoint[]
  /** The place in `points` beyond which the second aim begins to cost more; null where the front has no bend. */
  readonly knee: number | null
  readonly text: string
  readonly problems: readonly Problem[]
  readonly work: { readonly milliseconds: number }
}
