/** Counts what an answer cost: at once, and later when more of it is asked for. */
export interface Meter {
  /** Adds flights' worth of work. */
  readonly add: (work: number) => void
  /** Does something whose time counts. */
  readonly during: <T>(task: () => T) => T
  readonly work: () => number
  readonly milliseconds: () => number
}

/** A meter that has run since `elapsed` began to count. */
export function startMeter(elapsed: () => number): Meter {
  const first = elapsed()
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
    milliseconds: () => first + more,
  }
}
