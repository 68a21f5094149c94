import { signal } from '@preact/signals'

/** What the polite live region says. */
export const spoken = signal('')

/** So long a hand is still before the verdict is said [ms]: a word that is typed is answered letter by letter, and a conflict before its reasons. */
const STILL = 600
/** So long what came of a gesture is left to be read out before the verdict takes its place [ms]. */
const READ_OUT = 2000

let readOut = 0
let timer: ReturnType<typeof setTimeout> | undefined
let waiting: (() => string | null) | null = null

/** Says a verdict once, when the hand is still and what was said before is read out; null where there is none any more. */
export function sayWhenStill(verdict: () => string | null): void {
  waiting = verdict
  clearTimeout(timer)
  timer = setTimeout(say, Math.max(STILL, readOut - performance.now()))
}

/** Says at once what came of a gesture, again too; a verdict that waits comes after it. */
export function sayNow(words: string): void {
  // The region is read out only where it changes.
  spoken.value = words === spoken.value ? `${words}\u00a0` : words
  readOut = performance.now() + READ_OUT
  if (waiting) sayWhenStill(waiting)
}

function say(): void {
  const words = waiting?.()
  waiting = null
  if (words) spoken.value = words
}
