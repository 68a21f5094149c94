import { ticks } from 'd3-array'
import { formatNumber, formatQuantity } from '../../../grammar/units/choose.ts'
import { fromSI, toSI, type Unit } from '../../../grammar/units/unit.ts'
import type { Answer, TargetAnswer } from '../../answer.ts'
import type { OutlineTarget } from '../../outline.ts'
import { asNumber } from '../../report/number.ts'
import { scaleOf } from '../../report/scale.ts'
import { type LimitKind, type TargetWords, targetWords, unitNamed } from '../../report/target-words.ts'
import type { LimitView, TargetView, Tick } from '../spoken.ts'

/** Every target as a row: its words, its margin scale, and where its limits stand in the text. */
export function targetViews(
  targets: readonly TargetAnswer[],
  quantities: Answer['quantities'],
  outlines: readonly OutlineTarget[],
  converted: boolean,
): readonly TargetView[] {
  const taken = new Set<OutlineTarget>()
  return targets.map((target, family) => {
    const outline =
      outlines.find(each => !taken.has(each) && each.text === target.text && each.level === target.level) ?? null
    if (outline) taken.add(outline)
    const words = targetWords(target, quantities)
    const scale = scaleOf(target, words.kind)
    const unit = unitNamed(
      target.unit ?? (Object.hasOwn(quantities, words.subject) ? quantities[words.subject]!.unit : ''),
    )
    const span = spanOf(target, words.kind)
    const limits = limitViews(target, words, scale.ticks, outline, converted)
    return {
      text: target.text,
      level: target.level,
      subject: words.subject,
      kind: words.kind,
      limit: converted ? limits.map(each => each.words).join(', ') : words.limit,
      value: words.value,
      state: words.state,
      words: words.words,
      share: shareWords(target, words),
      scale,
      span,
      ticks: ticksOf(span, unit),
      limits,
      family,
      line: outline?.line ?? null,
      description: outline?.description ?? null,
    }
  })
}

/** SI values at the ends of the scale: the measure of `scaleOf`, the other way round. */
function spanOf(target: TargetAnswer, kind: LimitKind): readonly [number, number] {
  const [low, high] = [asNumber(target.limit[0]), asNumber(target.limit[1])]
  const about = (limit: number, at: number): readonly [number, number] => {
    const size = target.scale ?? Math.abs(limit)
    return [limit - (at / 0.75) * size, limit + ((1 - at) / 0.75) * size]
  }
  if (kind === 'at least') return about(low, 0.25)
  if (kind === 'at most') return about(high, 0.75)
  if (low !== high) return [low - (high - low) / 2, high + (high - low) / 2]
  return about(low, 0.5)
}

function ticksOf([from, to]: readonly [number, number], unit: Unit): readonly Tick[] {
  const [a, b] = [fromSI(from, unit), fromSI(to, unit)]
  if (!(Number.isFinite(a) && Number.isFinite(b)) || a === b) return []
  return ticks(a, b, 7).map(number => ({
    at: (toSI(number, unit) - from) / (to - from),
    text: formatNumber(number, 5),
  }))
}

/** Half a per cent is the grain in which room is told beside the scale. */
function shareWords(target: TargetAnswer, { state }: TargetWords): string {
  const margin = asNumber(target.margin)
  if (state === 'no value' || !Number.isFinite(margin)) return state
  const size = `${formatNumber(100 * Math.abs(margin), 2)} %`
  if (state === 'short') return `short, by ${size}`
  return Math.abs(margin) < 1e-9 ? state : `${state}, ${size} of room`
}

const LIMITS: Readonly<Record<LimitView['end'], (kind: LimitKind) => string>> = {
  low: () => 'at least',
  high: () => 'at most',
  both: kind => kind,
}

function limitViews(
  target: TargetAnswer,
  words: TargetWords,
  ticks: readonly number[],
  outline: OutlineTarget | null,
  converted: boolean,
): readonly LimitView[] {
  const ends: readonly LimitView['end'][] =
    words.kind === 'within'
      ? ['low', 'high']
      : words.kind === 'at least'
        ? ['low']
        : words.kind === 'at most'
          ? ['high']
          : ['both']
  const unit = unitNamed(target.unit ?? '')
  return ends.map((end, place) => {
    const written = outline?.limits[place]?.value ?? null
    const value =
      end === 'both'
        ? (asNumber(target.limit[0]) + asNumber(target.limit[1])) / 2
        : asNumber(target.limit[end === 'low' ? 0 : 1])
    const short = written?.unit && !converted ? written.text : formatQuantity(value, unit, 4)
    return {
      end,
      // A tolerance has two ends on the scale and its one number between them.
      at: end === 'both' ? 0.5 : (ticks[place] ?? 0.5),
      si: value,
      words: `${LIMITS[end](words.kind)} ${short}`,
      short,
      place: written?.unit ? { at: written.at, unit: written.unit } : null,
    }
  })
}
