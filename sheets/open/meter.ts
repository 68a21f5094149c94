/** Counts what the parts of an answer cost that are only worked out when they are asked for. */
export interface Meter {
  /** Adds flights' worth of work. */
  readonly add: (work: number) => void
  /** Does something whose time counts. */
  readonly during: <T>(task: () => T) => T
  readonly work: () => number
  readonly milliseconds: () => number
}

/** A meter at zero; `elapsed` is the clock. */
export function startMeter(elapsed: () => number): Meter {
  let work = 0
  let more = 0
  return {
    add: by => {
      work += by
    },
    during: task => {
      const before = elapsed()
      const result = task()
      more += elapsed() - before
      return result
    },
    work: () => work,
    milliseconds: () => more,
  }
}
