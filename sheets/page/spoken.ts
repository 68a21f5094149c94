import type { Problem } from '../../grammar/source.ts'
import type { Outcome } from '../answer.ts'
import type { OutlineUnit, SheetOutline, Stretch } from '../outline.ts'
import type { Theme } from '../picture/theme.ts'
import type { Scale } from '../report/scale.ts'
import type { SensitivityTable } from '../report/sensitivities.ts'
import type { LimitKind, TargetState } from '../report/target-words.ts'
import type { ColumnRole, VariantCell } from '../variants/answer.ts'
import type { Fate } from '../variants/tally.ts'
import type { WorkbookSheet } from '../workbook/workbook.ts'

/** A tick of a drawn scale: its place in shares of the width, and its number. */
export interface Tick {
  readonly at: number
  readonly text: string
}

/** A lever as a ruler. Places are shares of the range. */
export interface LeverView {
  readonly name: string
  readonly description: string | null
  /** "92" and "%". */
  readonly number: string
  readonly unit: OutlineUnit
  readonly si: number
  readonly from: number
  readonly to: number
  /** Its settings on steps [SI], null where it has none. */
  readonly settings: Float64Array | null
  readonly ticks: readonly Tick[]
  readonly pinned: boolean
}

/** One end of a target's limit that a hand may move. */
export interface LimitView {
  readonly end: 'low' | 'high' | 'both'
  /** Its place on the scale in shares of the width. */
  readonly at: number
  readonly si: number
  /** "at most 6 g0". */
  readonly words: string
  /** "6 g0". */
  readonly short: string
  /** Where the number stands in the text, with its unit; null where more than a number is written there. */
  readonly place: { readonly at: Stretch; readonly unit: OutlineUnit } | null
}

export interface TargetView {
  /** As `tidy` prints it, without its level: what `working` is asked for. */
  readonly text: string
  readonly level: 'must' | 'should' | 'could'
  readonly subject: string
  readonly kind: LimitKind
  readonly limit: string
  readonly value: string
  readonly state: TargetState
  /** "at its limit, 0.013 g0 of room". */
  readonly words: string
  /** "8.6 % of room". */
  readonly share: string
  readonly scale: Scale
  /** SI value at the left end of the scale and at the right one. */
  readonly span: readonly [number, number]
  readonly ticks: readonly Tick[]
  readonly limits: readonly LimitView[]
  readonly family: number
  readonly line: number | null
  readonly description: string | null
}

export interface FigureView {
  readonly name: string
  readonly text: string
  readonly reason: string | null
}

export interface FactView {
  readonly name: string
  /** As written: "165 kg". */
  readonly written: string
  readonly text: string
  /** Null where it has no value. */
  readonly si: number | null
  readonly description: string | null
  /** Where its value stands in the text. */
  readonly at: Stretch
  readonly whole: Stretch
  /** A plain number, so that one gesture makes it a lever: the range that is offered. */
  readonly lever: string | null
  /** Of such a number a line of variants: as it is, and at the end of that range. */
  readonly each: string | null
}

/** A problem, and the edit of the text that mends it where that is sure. */
export type ProblemView = Problem & {
  readonly edit: { readonly at: Stretch; readonly with: string; readonly words: string } | null
}

/** The answer, ready to be drawn. */
export interface AnswerView {
  readonly title: string
  readonly outcome: Outcome
  readonly verdict: string
  readonly more: string
  /** "searched, 41 flights in 1.6 ms". */
  readonly work: string
  readonly levers: readonly LeverView[]
  /** What to load: "276 kg", "Full is 300 kg: take out 24 kg." */
  readonly load: {
    readonly name: string
    readonly number: string
    readonly unit: string
    readonly words: string
  } | null
  readonly targets: readonly TargetView[]
  readonly aims: readonly { readonly text: string; readonly value: string }[]
  readonly figures: readonly FigureView[]
  /** The figures are of an answer from before: nobody saw them while a hand moved. */
  readonly figuresOld: boolean
  readonly facts: readonly FactView[]
  readonly problems: readonly ProblemView[]
  /** Whether the sheet has a block of variants. */
  readonly varies: boolean
  /** The files that the sheet names, and whether the page has each of them. */
  readonly files: readonly { readonly name: string; readonly here: boolean }[]
  readonly outline: SheetOutline
  /** The text is wrong by now: these are the numbers from before it. */
  readonly stale?: true
}

/** An answer as the worker says it: while a hand moves, null for what the page knows and for what nobody sees. */
export type AnswerSaid = Omit<AnswerView, 'outline' | 'figures' | 'figuresOld'> & {
  readonly outline: SheetOutline | null
  readonly figures: readonly FigureView[] | null
}

/** A mend of a conflict as a gesture on the text. */
export interface MendView {
  readonly text: string
  readonly change: string
  /** "then fuel fraction 93 %, throttle cap 57 %". */
  readonly leaves: string
  readonly target: string
}

/** What takes longer to say: why, and what it would take. */
export interface WhyView {
  readonly conflict: readonly {
    readonly words: string
    readonly targets: readonly string[]
    readonly ranges: readonly string[]
    readonly evidence: string
    readonly mends: readonly MendView[]
  }[]
  /** By target text: "each 0.1 g0 more would save 0.27 kg". */
  readonly prices: Readonly<Record<string, string>>
  /** By lever: "held up by apoapsis at least 100 km". */
  readonly held: Readonly<Record<string, string>>
  readonly decides: string | null
  readonly sensitivities: SensitivityTable
}

export interface FlightView {
  readonly name: string
  /** All flights of the sheet, this one among them. */
  readonly names: readonly string[]
  readonly svg: string
  /** The frame of its time axis in the picture, and its last time [s]. */
  readonly width: number
  readonly height: number
  readonly left: number
  readonly right: number
  readonly top: number
  readonly end: number
  readonly columns: readonly string[]
  readonly units: readonly string[]
  /** Its rows one after the other, a number for each column: as one piece they come to the page at once. */
  readonly rows: Float64Array
}

/** One axis of the trade map. */
export interface AxisView {
  readonly lever: string
  readonly range: readonly [number, number]
}

/** The part of a map about its mark, enlarged. */
export interface DetailShown {
  readonly svg: string
  readonly width: number
  readonly height: number
  readonly frame: readonly [number, number, number, number]
  /** What it shows of the ranges of the lever across and the lever up [SI]. */
  readonly across: readonly [number, number]
  readonly up: readonly [number, number]
}

export interface MapShown {
  /** Tells it from every other: asked with, so that the worker knows which one is on show. */
  readonly stamp: number
  readonly svg: string
  readonly width: number
  readonly height: number
  /** The frame in the picture: left, top, right, bottom. */
  readonly frame: readonly [number, number, number, number]
  readonly across: AxisView
  readonly up: AxisView
  /** Where the numbers of its axes stand in the picture: left, top, width, height. */
  readonly numbers: readonly (readonly [number, number, number, number])[]
  readonly mark: readonly [number, number] | null
  /** Whether there is ground on it where every must is met. */
  readonly clear: boolean
  readonly coarse: boolean
  /** Null while the map is coarse, and where the ground by the solution is large enough as it is. */
  readonly detail: DetailShown | null
  readonly words: string
}

export interface WorkingView {
  readonly name: string
  readonly lines: readonly (readonly { readonly text: string; readonly ink: string }[])[]
}

/** One variant: its cells in the order of the columns, how it ended, and which targets stay short. */
export interface VariantRowView {
  readonly cells: readonly VariantCell[]
  readonly fate: Fate
  readonly short: readonly string[]
}

/** The picture of the variants so far. */
export interface VariantsDrawn {
  readonly svg: string
  readonly width: number
  readonly words: string
}

/** Some more rows of the variants, as they come. */
export interface VariantsView {
  readonly columns: readonly { readonly header: string; readonly name: string; readonly role: ColumnRole }[]
  /** The rows from this place on. */
  readonly from: number
  readonly rows: readonly VariantRowView[]
  /** How many variants the sheet has, and how many of them the page solves. */
  readonly total: number
  readonly most: number
  /** More than were asked for: none is solved until somebody asks for all. */
  readonly waits: boolean
  readonly done: boolean
  /** Names of what varies along the picture and up it; null where only one thing varies. */
  readonly axes: { readonly across: string; readonly up: string | null } | null
  /** Null where it is as it was, or where there is none: then `noPicture` says why. */
  readonly drawn: VariantsDrawn | null
  readonly noPicture: string | null
  readonly problem: string | null
}

/** A draft's outcome, settings, targets and aims by name, each in words. */
export interface ComparedDraft {
  readonly name: string
  readonly cells: Readonly<Record<string, string>>
}

/** What is asked of the worker. A newer asking for the same thing supersedes the older ones. */
export type Asking =
  | {
      readonly kind: 'sheet'
      readonly text: string
      readonly set: Readonly<Record<string, number>>
      /** A hand is moving something: only what must follow it, of the pictures those in sight. Null when all is still. */
      readonly moving: {
        readonly map: boolean
        readonly flight: boolean
        readonly figures: boolean
        /** The page knows where things stand in this text. */
        readonly placed: boolean
      } | null
      /** The stamp of the map on show. */
      readonly map: number | null
      /** How wide the pictures are to be [px]. */
      readonly width: number
      readonly units: 'sheet' | 'SI' | 'customary'
      /** Which of several flights is to be drawn; the first where there is none of this name. */
      readonly flight: string | null
    }
  | {
      readonly kind: 'working'
      /** The place of the target that it is of. */
      readonly target: number | null
      /** Of a sheet that has changed, unasked. */
      readonly again: boolean
      readonly text: string
      readonly set: Readonly<Record<string, number>>
      readonly name: string
      /** How many characters a line may have. */
      readonly width: number
    }
  | {
      readonly kind: 'variants'
      readonly text: string
      readonly set: Readonly<Record<string, number>>
      /** Where the sheet has more variants than this, none is solved; null for all that a page solves. */
      readonly most: number | null
      /** What varies along the picture and up it; the first two where there is nothing of this name. */
      readonly across: string | null
      readonly up: string | null
      readonly width: number
    }
  | {
      readonly kind: 'picture'
      readonly text: string
      readonly set: Readonly<Record<string, number>>
      readonly theme: Theme['name']
      /** What the sheet's file is called. */
      readonly file: string
    }
  | { readonly kind: 'tidy'; readonly text: string }
  /** What a value typed for a lever is worth: a number alone is in the unit on show. */
  | { readonly kind: 'setting'; readonly text: string; readonly name: string; readonly words: string }
  | { readonly kind: 'book'; readonly text: string; readonly set: Readonly<Record<string, number>> }
  | {
      readonly kind: 'drafts'
      readonly drafts: readonly {
        readonly name: string
        readonly text: string
        readonly pins: Readonly<Record<string, number>>
      }[]
    }

export type SheetAsking = Extract<Asking, { readonly kind: 'sheet' }>

/** What the worker says, in the order of `id`s. */
export type Said =
  | { readonly kind: 'answer'; readonly view: AnswerSaid }
  | { readonly kind: 'why'; readonly view: WhyView }
  | { readonly kind: 'flight'; readonly view: FlightView | null }
  | { readonly kind: 'map'; readonly drawn: MapShown | null }
  | { readonly kind: 'working'; readonly view: WorkingView }
  | { readonly kind: 'card'; readonly style: string; readonly body: string }
  | { readonly kind: 'variants'; readonly view: VariantsView }
  /** The trade map as a picture that stands by itself: the one that the command writes. */
  | { readonly kind: 'picture'; readonly svg: string }
  | { readonly kind: 'tidy'; readonly text: string }
  /** A setting of the lever [SI], on its steps; null where it is refused. `words` say why, or what was made of it. */
  | { readonly kind: 'setting'; readonly name: string; readonly si: number | null; readonly words: string }
  | { readonly kind: 'book'; readonly book: readonly WorkbookSheet[] }
  | { readonly kind: 'drafts'; readonly compared: readonly ComparedDraft[] }
  | { readonly kind: 'progress'; readonly flights: number }
  | { readonly kind: 'done' }
  | { readonly kind: 'fault'; readonly message: string }
