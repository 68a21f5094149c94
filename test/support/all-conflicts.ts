import { openSheet } from '../../sheets/index.ts'
import { compileSheet } from '../../sheets/open/compiled.ts'
import { open } from '../../sheets/open/open.ts'
import { openSession } from '../../sheets/open/session.ts'

/** A sheet's musts over all its stepped settings, judged by nothing but its text and its quantities at each setting. */
export interface Judged {
  readonly texts: readonly string[]
  /** Which musts are met (by bit) at each setting. */
  readonly masks: readonly number[]
  /** Values of what each must limits, in SI, at each setting. */
  readonly values: readonly (readonly number[])[]
  readonly limits: readonly (readonly [number, number])[]
}

/**
 * Works every setting of a sheet out, with what the targets hang on alone; limits must not hang on levers. Which must is met is judged
 * here from values and limits, by the margin's own definition.
 */
export function everySetting(text: string): Judged {
  const session = openSession(compileSheet(open(text, null)), {})
  const { state } = session
  const musts = openSheet(text)
    .solve()
    .targets.flatMap((target, place) => (target.level === 'must' ? [{ ...target, place }] : []))
  const limits = musts.map(({ limit }): readonly [number, number] => [
    typeof limit[0] === 'number' ? limit[0] : Number.NEGATIVE_INFINITY,
    typeof limit[1] === 'number' ? limit[1] : Number.POSITIVE_INFINITY,
  ])
  const masks: number[] = []
  const values: number[][] = []
  for (const x of settings([...state.free].map(lever => session.ranges[lever]!.range.settings!))) {
    state.evaluate(Float64Array.from(x), { accuracy: 'tight', slopes: false, scope: 'wanted' })
    const row = musts.map(({ place }) => state.values[state.program.targets[place]!.value]!)
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

function* settings([first, ...rest]: readonly Float64Array[]): Generator<number[]> {
  if (!first) {
    yield []
    return
  }
  for (const value of first) for (const others of settings(rest)) yield [value, ...others]
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
