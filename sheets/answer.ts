import type { Problem } from '../grammar/source.ts'

/** A number for JSON: infinite is a word, no value is null (with a `reason` beside it). */
export type JsonNumber = number | 'infinity' | '-infinity' | null

/** `solved`: every must is met. `conflict`: they cannot all be. `unsure`: neither was shown. `faulty`: the sheet, or what was set, has an error. */
export type Outcome = 'solved' | 'conflict' | 'unsure' | 'faulty'

/** One quantity of an answer. `si` in coherent SI (rad for angles); `value` and `unit` as shown; `text` both, ready to print ("61 %", "100.1 km"). */
export interface QuantityAnswer {
  readonly role: 'fact' | 'lever' | 'figure'
  readonly si: JsonNumber
  readonly value: JsonNumber
  readonly unit: string
  readonly text: string
  /** Why there is no value, in words to follow "because". */
  readonly reason?: string
  /** The comment at the end of its declaration. */
  readonly description?: string
  /** A fact's error as given after ± [SI]: a half-width. */
  readonly error?: number
  /** True for a lever held by `set`. */
  readonly pinned?: boolean
}

/** One target, judged at the settings. */
export interface TargetAnswer {
  /** The target as `tidy` prints it, without its level. */
  readonly text: string
  readonly level: 'must' | 'should' | 'could'
  readonly met: boolean
  /** No more room than 0.5 % of the limit, or one more step of some lever breaks it. */
  readonly atLimit: boolean
  /** The room left over the size of the limit (of a band over half its width); below zero where the target is short. */
  readonly margin: JsonNumber
  /** What the flight, or the sheet, gives for it [SI]. */
  readonly si: JsonNumber
  /** From and to [SI]; null where there is no such end. */
  readonly limit: readonly [JsonNumber, JsonNumber]
  /** The unit its value is shown in, as its limit is written; base units where none is given here. */
  readonly unit?: string
  /** The size of a unit of margin [SI], told where the limit is zero. */
  readonly scale?: number
  readonly reason?: string
  /** What moving the limit is worth; null where it is not at its limit, or where another level than the first aim decides. */
  readonly price: PriceAnswer | null
  /** How its value moves with each lever and fact that it hangs on, SI per SI. */
  readonly sensitivities: Readonly<Record<string, JsonNumber>>
}

/** What the first aim gains when a limit is moved out, the steps lifted. */
export interface PriceAnswer {
  /** "each 0.1 g0 more of peak g would save 0.27 kg of propellant mass". */
  readonly text: string
  /** The gain for each SI unit of the limit, in SI; of `roomiest`, in units of the margin. */
  readonly si: number
  /** With steps: the nearest limit at which settings with a better first aim win, and those; what comes after that aim may choose others sooner. Null without steps, and where no setting of the ranges does. */
  readonly next: {
    readonly text: string
    readonly si: number
    readonly settings: Readonly<Record<string, Setting>>
  } | null
}

/** The fact whose error matters most. */
export interface DecidingFact {
  readonly fact: string
  /** Its error as given after ± [SI], or 1 % of it where none is given. */
  readonly error: number
  /** Whether the error is the sheet's own. */
  readonly given: boolean
  /** The target that is moved most, against the size of its limit, and by how much [SI]. */
  readonly target: string
  readonly change: number
  readonly text: string
}

/** One aim, in the sheet's order, and what it came to. */
export interface AimAnswer {
  readonly text: string
  readonly si: JsonNumber
  /** The unit its value is shown in; base units where none is given here. */
  readonly unit?: string
}

/** Why the musts cannot all be met. `targets`, `evidence` and `mends` are those of the first set. */
export interface ConflictAnswer {
  /** Up to three, fewest targets first. */
  readonly sets: readonly ConflictSetAnswer[]
  /** Whether all of this was looked for: false where the time was up before, so that fewer targets may be too many already, and mends may be missing. */
  readonly whole: boolean
  readonly targets: readonly string[]
  readonly evidence: 'proved' | 'searched'
  readonly mends: readonly MendAnswer[]
  /** The settings that leave the musts least short, as a full answer: not for flight. */
  readonly compromise: Compromise | null
}

/** Musts that cannot be met together, though any of them left out the others can. */
export interface ConflictSetAnswer {
  readonly targets: readonly string[]
  /** Ends of levers' ranges in the way: "throttle cap cannot go above 100 %". */
  readonly ranges: readonly string[]
  /** `proved` by intervals or linear reasoning alone, else `searched`. */
  readonly evidence: 'proved' | 'searched'
  /** Flights' worth of work that a searched set rests on; 0 where it is proved. */
  readonly flights: number
  /** Where searched: the widest gap between the settings tried, as a share of a lever's range. */
  readonly gap: number
  /** Whether every setting of the ranges was flown or ruled out. */
  readonly every: boolean
  /** For each target of the set, in their order, the smallest change of its limit that frees the set; those that no change frees are left out. */
  readonly mends: readonly MendAnswer[]
  /** For each of `ranges` how far that end would have to go. */
  readonly widenings: readonly WideningAnswer[]
}

/** The smallest change of one limit that frees a set. */
export interface MendAnswer {
  /** The target with its new limit, as a sheet would write it: "peak g at most 5.685 g0". */
  readonly text: string
  /** The change in words: "0.685 g0 more, 14 %". */
  readonly change: string
  /** The new limit in SI (of a band the end that moves; of a tolerance its new size). */
  readonly si: number
  /** The change in SI, with its sign. */
  readonly by: number
  /** The target as it stands. */
  readonly target: string
  /** Settings at which the set is met then. */
  readonly settings: Readonly<Record<string, Setting>>
}

/** How far a lever's range would have to go to free a set. */
export interface WideningAnswer {
  /** "throttle cap from 30 % to 104 %". */
  readonly text: string
  readonly lever: string
  /** The end it would have to reach [SI]. */
  readonly si: number
}

/** A lever's value: in SI, and as shown ("61 %"). */
export interface Setting {
  readonly si: number
  readonly text: string
}

/** The settings that leave the musts least short, with what they give. */
export interface Compromise {
  readonly quantities: Readonly<Record<string, QuantityAnswer>>
  readonly targets: readonly TargetAnswer[]
}

/** What `solve --json` prints. Key order is fixed by the code that builds it. */
export interface Answer {
  readonly sheet: string
  readonly outcome: Outcome
  /** Of settings that were found: `proved` where every other was worked out, flown or ruled out by algebra, else `searched`. */
  readonly optimum: 'proved' | 'searched' | null
  /** Facts, levers and figures by name, a flight's figures among them. */
  readonly quantities: Readonly<Record<string, QuantityAnswer>>
  readonly targets: readonly TargetAnswer[]
  readonly aims: readonly AimAnswer[]
  /** How each flight ends, by its name: "comes down", "escapes", "never leaves the pad" and so on. */
  readonly flights: Readonly<Record<string, string>>
  readonly conflict: ConflictAnswer | null
  /** Null where no fact moves a target. */
  readonly decides: DecidingFact | null
  readonly problems: readonly Problem[]
  /** What was tried, in words, where the outcome is `unsure` or a searched conflict. */
  readonly tried?: string
  readonly work: {
    readonly flights: number
    readonly milliseconds: number
    /** What prices, sensitivities and sets of a conflict cost beside: they are worked out when first asked for. */
    readonly explaining?: { readonly flights: number; readonly milliseconds: number }
  }
}

/** What `check --json` prints. */
export interface CheckAnswer {
  readonly problems: readonly Problem[]
  /** Names of facts, of levers, and of all that follows from them. */
  readonly known: readonly string[]
  readonly levers: readonly string[]
  readonly 'worked out': readonly string[]
  readonly targets: readonly string[]
  /** Facts, figures, tables and bodies that nothing else in the sheet reads. */
  readonly 'left over': readonly string[]
  /** What is so and may be meant, such as a part of a range at which a must is never met. */
  readonly remarks: readonly Problem[]
}

/** What `fly --json` prints and the library's `fly` gives. */
export interface FlightAnswer {
  /** The flight's outcome; where levers had to be solved first and could not be, that outcome instead, and no history. */
  readonly outcome: string
  /** What is wrong with the sheet or with what was set; none where there is nothing. */
  readonly problems?: readonly Problem[]
  /** Each under its own name and under `FIGURE of FLIGHT`. */
  readonly figures: Readonly<Record<string, JsonNumber>>
  /** Why a figure is null, in words, by the names in `figures`. */
  readonly reasons?: Readonly<Record<string, string>>
  /** What happens on the way: seconds from ignition, metres of altitude. */
  readonly events: readonly { readonly name: string; readonly time: number; readonly altitude: number }[]
  readonly history: {
    readonly columns: readonly string[]
    readonly units: readonly string[]
    /** A row a moment; typed arrays in the library, lists in JSON. */
    readonly rows: readonly ArrayLike<number>[]
  }
}
