/** Milliseconds of one look, by what was timed. */
export type Times = Readonly<Record<string, number>>

/** One line of what is printed. */
export interface Row {
  readonly what: string
  readonly figure: string
  /** What it must reach, and whether it does. */
  readonly mark?: { readonly told: string; readonly reached: boolean }
}

/** Something that is measured: looked at for a moment in each round, and told when all rounds are over. */
export interface Probe {
  /** Works that take turns in a look, so that whatever else the machine does falls on all alike. */
  readonly look: () => Times
  /** In how many rounds it is looked at, spread evenly; in all of them where this is left out. */
  readonly looks?: number
  readonly rows: (times: Times) => readonly Row[]
}

export type Mark = readonly ['at most' | 'at least', number, 'our own'?]

/** A figure in so many digits after the point, beside its mark. */
export function row(what: string, value: number, digits: number, unit: string, mark?: Mark): Row {
  const figure = `${value.toFixed(digits)} ${unit}`.trim()
  if (!mark) return { what, figure }
  const [side, limit, whose = ''] = mark
  const told =
    `${side === 'at most' ? '≤' : '≥'} ${limit.toLocaleString('en')} ${unit}`.trim() + (whose ? ` (${whose})` : '')
  return { what, figure, mark: { told, reached: side === 'at most' ? value <= limit : value >= limit } }
}

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

/** So many turns of each work, one after the other: the median time of each. */
export function turns<const Name extends string>(
  works: Readonly<Record<Name, () => void>>,
  count: number,
): Readonly<Record<Name, number>> {
  const names = Object.keys(works) as Name[]
  const took = new Map<Name, number[]>(names.map(name => [name, []]))
  for (let turn = 0; turn < count; turn++) for (const name of names) took.get(name)!.push(timed(works[name]))
  return Object.fromEntries(names.map(name => [name, median(took.get(name)!)])) as Record<Name, number>
}

/**
 * Looks at all probes round by round and prints what they tell twice: by the quickest look at each work and by the middle one.
 * What else runs on a shared machine only ever adds to a time, and adds more to a work that keeps a core busy than to one that waits for its own results:
 * the quickest looks are the nearest to what the code itself takes, and a ratio is made of both works' own quickest.
 */
export function inRounds(probes: readonly Probe[], rounds: number): void {
  const seen = new Map<Probe, Times[]>(probes.map(probe => [probe, []]))
  for (let round = 0; round < rounds; round++) {
    for (const probe of probes) {
      const gap = rounds / (probe.looks ?? rounds)
      if (Math.floor(round / gap) >= seen.get(probe)!.length) seen.get(probe)!.push(probe.look())
    }
    process.stderr.write('.')
  }
  process.stderr.write('\n')
  line('', 'quickest', 'middle', 'mark')
  const missed: string[] = []
  for (const probe of probes) {
    const looks = seen.get(probe)!
    const middle = probe.rows(each(looks, median))
    let head = ''
    for (const [k, { what, figure, mark }] of probe.rows(each(looks, values => Math.min(...values))).entries()) {
      const usual = middle[k]!.figure
      line(what, figure, usual === figure ? '' : usual, mark?.told ?? '')
      if (!what.startsWith('…')) head = what
      // "… over a solve" alone would not say of what.
      if (mark && !mark.reached) missed.push(head === '' || head === what ? what : `${head} ${what}`)
    }
  }
  console.log(missed.length === 0 ? '\nAll at their marks.' : `\nNot at their marks:\n${missed.join('\n')}`)
}

function each(looks: readonly Times[], of: (values: readonly number[]) => number): Times {
  return Object.fromEntries(Object.keys(looks[0]!).map(name => [name, of(looks.map(times => times[name]!))]))
}

function line(what: string, quickest: string, middle: string, mark: string): void {
  console.log(`${what.padEnd(60)} ${quickest.padStart(14)} ${middle.padStart(14)}   ${mark}`.trimEnd())
}
