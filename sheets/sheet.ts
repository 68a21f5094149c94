import type { Problem } from '../grammar/source.ts'
import type { Answer, CheckAnswer, FlightAnswer } from './answer.ts'
import type { FrontAnswer, FrontRequest, MapAnswer, MapRequest } from './map-answer.ts'
import type { SheetOutline } from './outline.ts'
import type { Variants, VariantsRequest } from './variants/answer.ts'
import type { WorkingAnswer, WorkingOptions } from './working.ts'

/** What may be said when a sheet is opened. */
export interface OpenOptions {
  /** What the sheet is called in messages: its file name. */
  readonly name?: string
  /** Gives the text of a file that a table or a block of variants names; throws an Error with a plain sentence where it cannot, which becomes one of the sheet's problems. */
  readonly load?: (path: string) => string
}

/** Values put in the place of facts, and levers pinned, by name: a text as the sheet would write it, or an SI number. */
export type Settings = Readonly<Record<string, string | number>>

/** A sheet that has been read once; every question after that only works out numbers. */
export interface Sheet {
  /** What it is called in messages: `name` of the options, else "sheet". */
  readonly name: string
  /** Of its `sheet "…"` line; empty without one. */
  readonly title: string
  /** As it was given. */
  readonly text: string
  /** What is wrong with the text; a sheet with an error among them answers `faulty`. */
  readonly problems: readonly Problem[]
  /** What `check --json` prints. */
  check(): CheckAnswer
  /** What `solve --json` prints. `watch` is told on the way how many flights were made; false stops the search, and the answer is `unsure` with the best so far; where it stops what explains a conflict, `whole` of that is false. */
  solve(options?: { readonly set?: Settings; readonly watch?: (flights: number) => boolean }): Answer
  /**
   * Every quantity at these lever values, SI out, without a search; facts may be set as well. Values between a lever's steps are taken as they are.
   * NaN where a quantity has no value, Infinity on escape. Throws an Error where the sheet has errors, a RangeError where a lever is left out, a name is unknown or a value cannot be.
   */
  at(levers?: Settings): Readonly<Record<string, number>>
  /** What `fly --json` prints, rows as typed arrays: figures and time history of one flight; levers that are not set are solved first. */
  fly(options?: { readonly set?: Settings; readonly flight?: string }): FlightAnswer
  /** What `working --json` prints: how a quantity, or a target by its text, comes about; levers that are not set are solved first. */
  working(name: string, options?: WorkingOptions): WorkingAnswer
  /** What `map --json` prints: the trade map of two levers, where the targets are met, and each limit's line. */
  map(request?: MapRequest): MapAnswer
  /** What `map --front --json` prints: the settings between the first two aims. */
  front(request?: FrontRequest): FrontAnswer
  /** The files that its blocks of variants name, block by block; null for a block without one. */
  readonly variantFiles: readonly (string | null)[]
  /** Every variant of the sheet's `variants` blocks: plain rows, solved one after the other as they are taken. */
  variants(request?: VariantsRequest): Variants
  /** Where everything stands in the text that a hand may change. */
  outline(): SheetOutline
  /** The text in its standard layout. */
  tidy(): string
}

/** Opens a sheet; never throws on a bad one. */
export type OpenSheet = (text: string, options?: OpenOptions) => Sheet
