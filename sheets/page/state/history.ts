import type { LineEnd } from '../../../grammar/lines.ts'
import { type Pins, samePins } from './pins.ts'

/** One state of the design: its text with plain line ends, how they are written where it is kept or sent, and the levers held by hand. */
export interface Draft {
  readonly text: string
  readonly lineEnd: LineEnd
  readonly pins: Pins
}

/** What was, what is, and what was taken back. Pure: every gesture gives a new one. */
export interface History {
  readonly past: readonly Draft[]
  readonly now: Draft
  readonly future: readonly Draft[]
  /** Gestures with the same tag within a second are one: a word typed, a tab dragged. */
  readonly tag: string | null
  readonly time: number
}

const MOST = 500
const TOGETHER = 1000

export function begun(now: Draft): History {
  return { past: [], now, future: [], tag: null, time: 0 }
}

/** The history with another state; `tag` and `time` [ms] tell whether it goes on with the gesture before. */
export function changed(history: History, now: Draft, tag: string | null, time: number): History {
  if (same(now, history.now)) return history
  // A hand that holds something goes on however long it rests.
  const together = tag?.startsWith('hand') || time - history.time < TOGETHER
  const goesOn = tag !== null && tag === history.tag && together && history.future.length === 0
  const before = history.past.at(-1)
  // A gesture that ends where it began is none: there is nothing in it to be taken back.
  if (goesOn && before && same(now, before))
    return { past: history.past.slice(0, -1), now: before, future: [], tag: null, time }
  const past = goesOn ? history.past : [...history.past, history.now].slice(-MOST)
  return { past, now, future: [], tag, time }
}

export function undone(history: History): History {
  const now = history.past.at(-1)
  if (!now) return history
  return { past: history.past.slice(0, -1), now, future: [history.now, ...history.future], tag: null, time: 0 }
}

export function redone(history: History): History {
  const [now, ...future] = history.future
  return now ? { past: [...history.past, history.now], now, future, tag: null, time: 0 } : history
}

/** Whether two designs are the same, with the same levers held. */
export function same(a: Draft, b: Draft): boolean {
  return a.text === b.text && a.lineEnd === b.lineEnd && samePins(a.pins, b.pins)
}
