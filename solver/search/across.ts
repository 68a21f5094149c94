import type { Watch } from './run.ts'

/** One watch over searches that follow one another, each of which counts its flights from the start; once it has ended one it ends all. */
export function across(watch: Watch): { readonly watch: Watch; readonly ended: () => boolean } {
  let [before, last, ended] = [0, 0, false]
  return {
    watch: flights => {
      // Within one search the count only rises.
      if (flights <= last) before += last
      last = flights
      ended ||= !watch(before + flights)
      return !ended
    },
    ended: () => ended,
  }
}
