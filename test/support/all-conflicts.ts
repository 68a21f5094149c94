import { openSheet } from '../../sheets/index.ts'

/** A sheet's musts over all its stepped settings, judged by nothing but its text and its quantities at each setting. */
export interface Judged {
  readonly texts: readonly string[]
  /** Which musts are met (by bit) at each setting. */
  readonly masks: readonly number[]
  /** Values of what each must limits, in SI, at each setting. */
  readonly values: readonly (readonly number[])[]
  readonly limits: readonly (readonly [number, number])[]
}

/** Works every setting of a sheet out by `at`; limits must not hang on levers. */
export function everySetting(text: string): Judged {
  const sheet = openSheet(text)
  const answer = sheet.solve()
  const musts = answer.targets.filter(target => target.level === 'must')
  const limits = musts.map(({ limit }): readonly [number, number] => [
    typeof limit[0] === 'number' ? limit[0] : Number.NEGATIVE_INFINITY,
    typeof limit[1] === 'number' ? limit[1] : Number.POSITIVE_INFINITY,
  ])
  const probes = musts.map((must, place) => `figure probe ${'abcdefghij'[place]} = ${subject(must.text)}`)
  const probing = openSheet(`${text}\n${probes.join('\n')}\n`)
  const masks: number[] = []
  const values: number[][] = []
  for (const levers of settings(text)) {
    const at = probing.at(levers)
    const row = musts.map((_, place) => at[`probe ${'abcdefghij'[place]}`]!)
    values.push(row)
    masks.push(
      row.reduce((mask, value, place) => {
        const [low, high] = limits[place]!
        const slack = 1e-9 * Math.max(...[low, high].filter(Number.isFinite).map(Math.abs))
        return value >= low - slack && value <= high + slack ? mask | (1 << place) : mask
      }, 0),
    )
  }
  return { texts: musts.map(must => must.text), masks, values, limits }
}

/** What a target limits. */
export function subject(text: string): string {
  return /^(.*?) (?:at least|at most|within|equal to) /.exec(text)![1]!
}

/** All settings of a sheet's stepped levers, whose ranges are plain numbers of one unit. */
function settings(text: string): Record<string, number>[] {
  const sheet = openSheet(text)
  const levers = [...text.matchAll(/^lever\s+(.+?)\s+from (\S+)(?: (\S+))? to (\S+)(?: \S+)? in steps of (\S+)/gm)]
  let all: Record<string, number>[] = [{}]
  for (const [, written, from, , to, step] of levers) {
    const name = written!.replace(/\s+/g, ' ')
    const unit = sheet.solve({ set: {} }).quantities[name]!
    const one = unitSize(unit.si as number, unit.value as number)
    const count = Math.floor((Number(to) - Number(from)) / Number(step) + 1e-9)
    const values = Array.from(
      { length: count + 1 },
      (_, k) => Number((Number(from) + k * Number(step)).toPrecision(12)) * one,
    )
    all = all.flatMap(setting => values.map(value => ({ ...setting, [name]: value })))
  }
  return all
}

function unitSize(si: number, value: number): number {
  return value === 0 ? 1 : Number((si / value).toPrecision(12))
}

/** All irreducible sets of musts that no setting meets together, fewest first, as sorted texts. */
export function irreducibleSets({ texts, masks }: Judged): string[][] {
  const met = [...new Set(masks)]
  const impossible = (set: number): boolean => !met.some(mask => (mask & set) === set)
  const sets: number[] = []
  for (let set = 1; set < 1 << texts.length; set++) {
    if (!impossible(set)) continue
    const bits = texts.map((_, place) => 1 << place).filter(bit => (set & bit) !== 0)
    if (bits.every(bit => !impossible(set & ~bit))) sets.push(set)
  }
  const names = sets.map(set => texts.filter((_, place) => (set >> place) & 1).sort())
  return names.sort((a, b) => a.length - b.length || (a.join() < b.join() ? -1 : 1))
}

/** The smallest move of one must's limit, in SI, at which the others of a set and it are met somewhere. */
export function smallestMove({ texts, masks, values, limits }: Judged, set: readonly string[], moved: string): number {
  const at = texts.indexOf(moved)
  const others = texts.reduce(
    (mask, text, place) => (text !== moved && set.includes(text) ? mask | (1 << place) : mask),
    0,
  )
  const [low, high] = limits[at]!
  let least = Number.POSITIVE_INFINITY
  for (const [place, mask] of masks.entries()) {
    if ((mask & others) !== others) continue
    const value = values[place]![at]!
    least = Math.min(least, Math.max(low - value, value - high))
  }
  return least
}
