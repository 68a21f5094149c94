/** Presses of keys on one handle go on with one another where no more than this lies between them [ms]. */
const BETWEEN = 1000

let last = { handle: '', time: 0, gesture: 0 }

/** The history's tag of a press on a handle at a time [ms]: presses that follow one another are one gesture, however late they are heard, answered and written. */
export function pressed(handle: string, time: number): string {
  const goesOn = handle === last.handle && time - last.time < BETWEEN
  last = { handle, time, gesture: goesOn ? last.gesture : last.gesture + 1 }
  return `hand on keys ${last.gesture}`
}
