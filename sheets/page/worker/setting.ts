import type { OutlineLever } from '../../outline.ts'
import type { Sheet } from '../../sheet.ts'
import type { Asking, Said } from '../spoken.ts'

const ALONE = /^[-+−]?\s*[\d.]+(?:[eE][-+−]?\d+)?$/

/** What a value typed for a lever is worth, as `--set` takes it, on the nearest of the lever's steps. */
export function settingSaid(sheet: Sheet, { name, words }: Extract<Asking, { readonly kind: 'setting' }>): Said {
  const refused = (why: string): Said => ({ kind: 'setting', name, si: null, words: why })
  const wrong = sheet.problems.find(({ severity }) => severity === 'error')
  if (wrong) return refused(`Line ${wrong.line} needs mending first.`)
  const { levers } = sheet.outline()
  const lever = levers.find(each => each.name === name)
  if (!lever) return refused(`The sheet has no lever ${name} any more.`)
  // The others stand anywhere: what is typed for one hangs on no other.
  const others = levers.flatMap(each => (each.range ? [[each.name, each.range[0]] as const] : []))
  const typed = ALONE.test(words) ? `${words} ${lever.unit.text}` : words
  try {
    const si = sheet.at({ ...Object.fromEntries(others), [name]: typed })[name]!
    const nearest = onStep(lever, si)
    return {
      kind: 'setting',
      name,
      si: nearest,
      words: sameSetting(lever, nearest, si) ? '' : `${name} moves in steps: it is at the one nearest to ${typed}.`,
    }
  } catch (error) {
    return refused(error instanceof Error ? error.message : String(error))
  }
}

/** To within the rounding of units. */
function sameSetting({ range }: OutlineLever, a: number, b: number): boolean {
  const [from, to] = range ?? [a, b]
  return Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(from), Math.abs(to))
}

function onStep({ settings }: OutlineLever, si: number): number {
  return settings?.reduce((best, each) => (Math.abs(each - si) < Math.abs(best - si) ? each : best)) ?? si
}
