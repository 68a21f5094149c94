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
  { session, widths }: Found,
  x: Float64Array,
  judged: readonly Judged[],
  meter: Meter,
): (target: number) => PriceAnswer | null {
  const { state, ranges } = session
  const free = [...state.free].map(lever => ranges[lever]!.range)
  let known: Prices | null = null
  const prices = (): Prices => {
    if (!known) {
      known = priceLimits(state, free, widths, x)
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
      const words = priceWords(session, target, gain[target]!, side[target]!)
      const next = stepped ? nextAnswer(session, free, widths, x, target, meter) : null
      return words === null ? null : { text: words, si: gain[target]!, next }
    })
}

type Session = Found['session']

function nextAnswer(
  session: Session,
  free: Parameters<typeof nextLimitOf>[1],
  widths: readonly number[],
  x: Float64Array,
  target: number,
  meter: Meter,
): PriceAnswer['next'] {
  const found = nextLimitOf(session.state, free, widths, x, target)
  if (!found) return null
  meter.add(found.work)
  const moved = movedLimit(session, widths, { target, value: found.value, margin: found.margin })
  return moved && { text: moved.text, si: moved.si, settings: settingsAt(session, found.x) }
}

/** "each 0.1 g0 more of peak g would save 0.27 kg of propellant mass"; null where the limit hangs on a lever. */
function priceWords({ state, compiled }: Session, target: number, gain: number, side: number): string | null {
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
  const what = gainWords(state, opened.aims, opened.info, gain * step)
  return `each ${by} ${more} of ${info.written.subject}${end} would ${what}`
}

/** About a sixtieth of a limit, as a power of ten of its unit [SI]. */
function handyStep(limit: number, unit: Unit): number {
  const number = Math.abs(fromSI(limit, unit)) || 1
  return toSI(10 ** Math.round(Math.log10(number / 60)), unit)
}

type Opened = Session['compiled']['reading']['opened']

function gainWords(state: Session['state'], aims: Opened['aims'], info: Opened['info'], gain: number): string {
  const aim = state.program.aims[0]
  const told = aims[0]
  if (!aim || !told || aim.sense === 'roomiest')
    return gain === 0 ? 'win no room' : `widen the smallest margin by ${Number((100 * gain).toPrecision(2))} %`
  const like = told.id === null ? null : info[told.id]!
  const unit = unitFor(
    { dimension: told.dimension, unit: like?.unit ?? null, figure: like?.figure ?? null },
    state.values[aim.value]!,
  )
  const name = told.text.replace(/^(least|most) /, '')
  const verb = aim.sense === 'least' ? 'save' : 'gain'
  return gain === 0
    ? `${verb} nothing of ${name}`
    : `${verb} ${formatQuantity(gain, differenceUnit(unit), 2)} of ${name}`
}
