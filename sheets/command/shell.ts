import type { OpenSheet } from '../sheet.ts'

/** Where a command's words go: standard output or standard error. */
export interface Outlet {
  write(text: string): void
  /** Writes, and is done when the reader has room for more; an Error with a code where it cannot be written. */
  send(text: string): Promise<void>
  /** Whether it is a terminal that a person looks at. */
  readonly terminal: boolean
  /** Its columns, where it is one. */
  readonly columns: number | undefined
}

/** Everything outside that a command touches, so that the tests can stand in for it. */
export interface Shell {
  readonly out: Outlet
  readonly messages: Outlet
  readonly environment: Readonly<Record<string, string | undefined>>
  /** The folder that file names count from. */
  readonly folder: string
  /** Standard input, whole. */
  readonly input: () => Promise<Uint8Array>
  /** Resolves when somebody asks for what runs on and on to end; by default nobody but the process itself does. */
  readonly stopped?: Promise<void>
  /** The library; loaded only by the verbs that need it. */
  readonly library: () => Promise<{ readonly openSheet: OpenSheet }>
}

/** Exit statuses. */
export const STATUS = { done: 0, conflict: 1, wrong: 2, unsure: 3, fault: 4 } as const
export type Status = (typeof STATUS)[keyof typeof STATUS]

/** Stops a command with a plain sentence: the words of the command or a file are wrong. */
export class Refusal extends Error {}

/** Ends a command whose reader has closed standard output, as `head` does: it has read enough, and that is no fault. */
export class ReaderGone extends Error {}
