/** Middle of some numbers. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[sorted.length >> 1]!
}

/** Milliseconds that `work` takes. */
export function timed(work: () => void): number {
  const before = performance.now()
  work()
  return performance.now() - before
}

/**
 * How many times longer `a` takes than `b`: the median over interleaved pairs, so that whatever else the machine does falls on both.
 * Both are warmed first.
 */
export function ratio(
  a: () => void,
  b: () => void,
  pairs = 100,
  warm = 20,
): { readonly ratio: number; readonly a: number; readonly b: number } {
  for (let i = 0; i < warm; i++) {
    a()
    b()
  }
  const times = Array.from({ length: pairs }, () => [timed(a), timed(b)] as const)
  return {
    ratio: median(times.map(([x, y]) => x / y)),
    a: median(times.map(([x]) => x)),
    b: median(times.map(([, y]) => y)),
  }
}
