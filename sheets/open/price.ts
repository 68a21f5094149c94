import { displayUnit, formatQuantity } from '../../grammar/units/choose.ts'
import { fromSI, toSI, type Unit } from '../../grammar/units/unit.ts'
import { limitsAt, nextLimitOf, type Prices, priceLimits } from '../../solver/index.ts'
import type { PriceAnswer } from '../answer.ts'
import { unitFor } from './answer-quantities.ts'
import type { Judged } from './answer-targets.ts'
import type { Found } from './find.ts'
import { differenceUnit, movedLimit, settingsAt } from './mend.ts'
import type { Meter } from './meter.ts'

/** The price of each target, worked out when first asked for. `x` are the settings found, `judged` the targets there. */
export function priceAnswers(
  { session, widths, flown }: Found,
  x: Float64Array,
  judged: readonly Judged[],
  meter: Meter,
): (target: number) => PriceAnswer | null {
  const { state, ranges } = session
  const free = [...state.free].map(lever => ranges[lever]!.range)
  const aim = state.program.aims[0]
  const aimed = aim && aim.value !== -1 ? state.values[aim.value]! : Number.NaN
  let known: Prices | null = null
  const prices = (): Prices => {
    if (!known) {
      known = priceLimits(state, free, widths, x, flown)
      meter.add(known.work)
    }
    return known
  }
  const stepped = free.some(range => range.settings !== null)
  const allMet = judged.every(target => target.met)
  return target =>
    meter.during(() => {
      if (free.length === 0 || !allMet) return null
      const { gain, side } = prices()
      if (Number.isNaN(gain[target]!)) return null
      const words = priceWords(session, target, gain[target]!, side[target]!, aimed)
      if (words === null) return null
      let next: { readonly of: PriceAnswer['next'] } | null = null
      return {
        text: words,
        si: gain[target]!,
        // A look of its own, which is not asked for where the price is nothing.
        get next() {
          next ??= {
            of: stepped ? meter.during(() => nextAnswer(session, free, widths, x, target, flown, meter)) : null,
          }
          return next.of
        },
      }
    })
}

type Session = Found['session']

function nextAnswer(
  session: Session,
  free: Parameters<typeof nextLimitOf>[1],
  widths: readonly number[],
  x: Float64Array,
  target: number,
  flown: Found['flown'],
  meter: Meter,
): PriceAnswer['next'] {
  const { next: found, work } = nextLimitOf(session.state, free, widths, x, target, flown)
  meter.add(work)
  if (!found) return null
  const moved = movedLimit(session, widths, { target, ...found }, meter)
  return moved && { text: moved.text, si: moved.si, settings: settingsAt(session, found.x) }
}

/** "each 0.1 g0 more of peak g would save 0.27 kg of propellant mass"; null where the limit hangs on a lever. `aimed` is the aim's value. */
function priceWords(
  { state, compiled }: Session,
  target: number,
  gain: number,
  side: number,
  aimed: number,
): string | null {
  const { opened } = compiled.reading
  const info = opened.targets[target]!
  const slots = state.program.targets[target]!
  if ([slots.low, slots.high, slots.tolerance].some(slot => slot >= state.program.algebra)) return null
  const { low, high } = limitsAt(state, slots, Number.NaN)
  const lower = side < 0 || (side === 0 && !Number.isFinite(high))
  const limit = lower ? low : high
  const unit =
    info.written.units[lower ? 0 : info.written.units.length - 1] ?? info.unit ?? displayUnit(info.dimension, limit)
  const step = handyStep(limit, differenceUnit(unit))
  const by = formatQuantity(step, differenceUnit(unit), 2)
  const end = slots.kind === 'within' ? (lower ? ' at the lower end' : ' at the upper end') : ''
  const more = slots.kind === 'equal within' ? 'more tolerance' : lower ? 'less' : 'more'
  const what = gainWords(state.program.aims[0]?.sense ?? 'roomiest', opened, gain * step, aimed)
  return `each ${by} ${more} of ${info.written.subject}${end} would ${what}`
}

/** About a sixtieth of a limit, as a power of ten of its unit [SI]. */
function handyStep(limit: number, unit: Unit): number {
  const number = Math.abs(fromSI(limit, unit)) || 1
  return toSI(10 ** Math.round(Math.log10(number / 60)), unit)
}

type Opened = Session['compiled']['reading']['opened']

function gainWords(sense: 'least' | 'most' | 'roomiest', { aims, info }: Opened, gain: number, aimed: number): string {
  const told = aims[0]
  if (!told || sense === 'roomiest')
    return gain === 0 ? 'win no room' : `widen the smallest margin by ${Number((100 * gain).toPrecision(2))} %`
  const like = told.id === null ? null : info[told.id]!
  const unit = unitFor({ dimension: told.dimension, unit: like?.unit ?? null, figure: like?.figure ?? null }, aimed)
  const name = told.text.replace(/^(least|most) /, '')
  const verb = sense === 'least' ? 'save' : 'gain'
  return gain === 0
    ? `${verb} nothing of ${name}`
    : `${verb} ${formatQuantity(gain, differenceUnit(unit), 2)} of ${name}`
}
