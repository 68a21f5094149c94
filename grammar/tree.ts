import type { Problem, Span } from './source.ts'

/** A name as written once blanks are folded and the text is NFC: "peak g". */
export interface Name {
  readonly text: string
  readonly span: Span
}

/** A name, or `NAME of NAME` (a figure of a flight, stage or parachute). */
export interface Reference {
  readonly name: Name
  readonly of: Name | null
}

/** A unit as written, one token: "m/s^2", "%". Whether it exists is asked later, by the units. */
export interface UnitText {
  readonly text: string
  readonly span: Span
}

export type BinaryOperator = '+' | '-' | '*' | '/' | '^'
export type Comparison = '<' | '<=' | '>' | '>=' | '='

export type Expression =
  /** `text` is the digits as written (decimal, sign apart); `value` the double nearest to them. An absolute temperature literal keeps its sign here. */
  | {
      readonly kind: 'number'
      readonly text: string
      readonly value: number
      readonly unit: UnitText | null
      readonly span: Span
    }
  | { readonly kind: 'reference'; readonly name: Name; readonly of: Name | null; readonly span: Span }
  /** `of` for `air pressure(ALTITUDE) of BODY`. */
  | {
      readonly kind: 'call'
      readonly name: Name
      readonly of: Name | null
      readonly args: readonly Expression[]
      readonly span: Span
    }
  | { readonly kind: 'sign'; readonly operator: '+' | '-'; readonly arg: Expression; readonly span: Span }
  | {
      readonly kind: 'binary'
      readonly operator: BinaryOperator
      readonly left: Expression
      readonly right: Expression
      readonly span: Span
    }
  | {
      readonly kind: 'if'
      readonly test: Condition
      readonly yes: Expression
      readonly no: Expression
      readonly span: Span
    }

export type Condition =
  | {
      readonly kind: 'compare'
      readonly operator: Comparison
      readonly left: Expression
      readonly right: Expression
      readonly span: Span
    }
  | { readonly kind: 'both' | 'either'; readonly left: Condition; readonly right: Condition; readonly span: Span }
  | { readonly kind: 'not'; readonly arg: Condition; readonly span: Span }

export type Level = 'must' | 'should' | 'could'

export type Limit =
  | { readonly kind: 'at least' | 'at most'; readonly value: Expression }
  | { readonly kind: 'within'; readonly from: Expression; readonly to: Expression }
  | { readonly kind: 'equal to'; readonly value: Expression; readonly tolerance: Expression | null }

/** A slot line of a block: `dry mass = 110 kg`. */
export interface Slot {
  readonly name: Name
  readonly value: Expression
  readonly span: Span
  readonly comment: string | null
}

/** An indented block of slots inside a flight. */
export interface Part {
  readonly kind: 'stage' | 'parachute'
  readonly name: Name
  readonly slots: readonly Slot[]
  readonly span: Span
  readonly comment: string | null
}

/** One `each` line of a variants block. */
export type Each =
  | {
      readonly kind: 'over'
      readonly name: Reference
      readonly values: readonly (Expression | { readonly kind: 'text'; readonly text: string; readonly span: Span })[]
      readonly span: Span
      readonly comment: string | null
    }
  | {
      readonly kind: 'steps'
      readonly name: Reference
      readonly from: Expression
      readonly to: Expression
      readonly step: Expression
      readonly span: Span
      readonly comment: string | null
    }

/** The common part of a statement. `span` covers the head line, comment apart; `comment` is without its `#`, trimmed. */
interface Head {
  readonly span: Span
  readonly comment: string | null
}

export type Statement =
  | (Head & { readonly kind: 'sheet'; readonly title: string })
  | (Head & {
      readonly kind: 'fact'
      readonly name: Name
      readonly value: Expression
      readonly error: Expression | null
    })
  | (Head & {
      readonly kind: 'lever'
      readonly name: Name
      readonly from: Expression
      readonly to: Expression
      readonly step: Expression | null
    })
  | (Head & { readonly kind: 'figure'; readonly name: Name; readonly value: Expression })
  | (Head & { readonly kind: 'target'; readonly level: Level; readonly value: Expression; readonly limit: Limit })
  | (Head & { readonly kind: 'aim'; readonly sense: 'least' | 'most'; readonly value: Expression })
  | (Head & { readonly kind: 'aim'; readonly sense: 'roomiest'; readonly value: null })
  | (Head & { readonly kind: 'show'; readonly name: Reference; readonly unit: UnitText })
  | (Head & {
      readonly kind: 'table'
      readonly name: Name
      readonly argument: Name
      readonly rows: readonly TableRow[]
      readonly file: FileText | null
    })
  | (Head & { readonly kind: 'body'; readonly name: Name; readonly slots: readonly Slot[] })
  | (Head & {
      readonly kind: 'flight'
      readonly name: Name
      readonly body: Name
      readonly slots: readonly Slot[]
      readonly parts: readonly Part[]
    })
  | (Head & {
      readonly kind: 'variants'
      readonly name: Name | null
      readonly each: readonly Each[]
      readonly file: FileText | null
    })

/** A row of signed numbers, each an Expression of kind 'number' or a 'sign' over one. */
export interface TableRow {
  readonly cells: readonly Expression[]
  readonly span: Span
  readonly comment: string | null
}

export interface FileText {
  readonly text: string
  readonly span: Span
}

/** A whole sheet as read: its statements in the order written, and what was wrong with the text. A wrong line is left out of `statements` and stands in `problems`. */
export interface Tree {
  readonly statements: readonly Statement[]
  readonly problems: readonly Problem[]
  /** Names that wrong lines were to declare (slots too), so that nobody needs to miss them a second time. */
  readonly lost: readonly string[]
}
