import type { Problem } from '../grammar/source.ts'
import type { JsonNumber, Setting, TargetAnswer } from './answer.ts'

/** A target judged at the settings of a working: what `solve` says of it, but for what moving it is worth. */
export type WorkingTarget = Omit<TargetAnswer, 'price' | 'sensitivities'>

/** A value that stands in a relation, by the name it has there. */
export interface WorkingInput {
  readonly name: string
  readonly si: JsonNumber
  /** As put into `numbers`: "17.5 kN". */
  readonly text: string
}

/** A relation three times over: in names, with numbers put in, and what comes out. */
export interface WorkingRelation {
  readonly kind: 'relation'
  /** What it gives, where that is not the quantity itself: "margin". */
  readonly gives?: string
  /** "thrust on the pad / (liftoff mass × gravity on the pad)". */
  readonly relation: string
  /** Why these numbers: which way a condition went, what a table gave. */
  readonly notes: readonly string[]
  /** "9.394 kN / (441 kg × 9.807 m/s^2)"; of a condition only the way that holds. */
  readonly numbers: string
  /** The same as an expression of the language with unrounded values in base units; null where one of them has no finite value. */
  readonly exact: string | null
  /** "2.172", or in two units "58.72 m/s^2 = 5.987 g0". */
  readonly result: string
  readonly inputs: readonly WorkingInput[]
}

/** Parts that add up to a whole, as printed too; `share` is the part's share of the whole, "27.9 %". */
export interface WorkingSum {
  readonly kind: 'sum'
  readonly whole: WorkingInput
  readonly parts: readonly (WorkingInput & { readonly share: string })[]
}

/** The state of the flight when something happens in it. */
export interface WorkingMoment {
  readonly kind: 'moment'
  /** "peak g", "burnout". */
  readonly name: string
  /** In which part of the flight: "at burnout, still burning". */
  readonly words: string
  /** Time from ignition, altitude, speed and so on, as the flight has them then. */
  readonly values: readonly WorkingInput[]
}

/** Something said in a sentence. */
export interface WorkingNote {
  readonly kind: 'note'
  readonly text: string
}

/** One piece of how a quantity comes about, told apart by `kind`. */
export type WorkingPart = WorkingRelation | WorkingSum | WorkingMoment | WorkingNote

/** What keeps a lever from going further one way. */
export interface WorkingHold {
  /** `up`: it would go lower but for this; `down`: it would go higher. */
  readonly way: 'up' | 'down'
  readonly by: 'target' | 'range' | 'aim'
  /** The target's or the aim's text; of a range its end, "100 %". */
  readonly text: string
}

/** What a step stands for: `given` is what a flight was given in its block, `part` something made on the way. */
export type WorkingKind = 'fact' | 'lever' | 'figure' | 'flight figure' | 'given' | 'part' | 'target'

/** One quantity and how it comes about. */
export interface WorkingStep {
  readonly name: string
  readonly kind: WorkingKind
  /** 0: what was asked for; 1: what that is made of; and so on. */
  readonly depth: number
  readonly si: JsonNumber
  readonly unit: string
  readonly text: string
  /** Why there is no value. */
  readonly reason?: string
  readonly description?: string
  /** The line of the sheet that says it. */
  readonly line?: number
  readonly parts: readonly WorkingPart[]
  /** Targets on it, by their texts (see `targets` of the answer). */
  readonly targets: readonly string[]
  /** Of a lever. */
  readonly held: readonly WorkingHold[]
  readonly pinned?: true
  /** Names of the quantities it is made of. */
  readonly from: readonly string[]
}

/** What `working --json` prints and the library's `working` gives. */
export interface WorkingAnswer {
  readonly sheet: string
  /** What was asked for, as the sheet calls it. */
  readonly name: string
  /** `pinned`: every lever was set, nothing was searched. `known`: it hangs on no lever. Else how the search for settings ended. */
  readonly outcome: 'solved' | 'conflict' | 'unsure' | 'pinned' | 'known' | 'faulty'
  /** Whether the settings are the middle of each range, because none were found. */
  readonly middle: boolean
  readonly settings: Readonly<Record<string, Setting>>
  /** Each quantity once, those asked about first. */
  readonly steps: readonly WorkingStep[]
  /** All targets that a step names, judged at these settings. */
  readonly targets: readonly WorkingTarget[]
  readonly problems: readonly Problem[]
}

/** How a working is asked for. */
export interface WorkingOptions {
  readonly set?: Readonly<Record<string, string | number>>
  /** How many levels of what it is made of; 1 unless told otherwise. */
  readonly deep?: number | 'all'
}
