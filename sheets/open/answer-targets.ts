import {
  type Limits,
  limitsAt,
  marginOf,
  metMargin,
  type SearchResult,
  type State,
  type TargetSlots,
  whySlot,
} from '../../solver/index.ts'
import type { AimAnswer, PriceAnswer, TargetAnswer } from '../answer.ts'
import { json, sentence, unitFor } from './answer-quantities.ts'
import type { Opened, TargetInfo } from './opened.ts'
import type { Session } from './session.ts'

/** A target judged at the point last worked out. */
export interface Judged {
  readonly value: number
  readonly limits: Limits
  /** NaN: no value, and so not met. */
  readonly margin: number
  readonly met: boolean
}

/** Judges every target at the point last worked out; `widths` are the scales of zero limits. */
export function judge(state: State, widths: readonly number[]): readonly Judged[] {
  return state.program.targets.map((slots, t) => {
    const value = state.values[slots.value]!
    const limits = limitsAt(state, slots, widths[t] ?? Number.NaN)
    const margin = marginOf(slots.kind, limits, value)
    return { value, limits, margin, met: metMargin(slots.kind, margin) }
  })
}

/** What was found, once it is judged: settings whose musts are not met when they are flown for the answer are no solution, whatever the search took them for. */
export function confirmed(
  result: SearchResult,
  judged: readonly Judged[],
  targets: readonly TargetSlots[],
): SearchResult {
  if (result.outcome !== 'solved' || judged.every(({ met }, t) => met || targets[t]!.level !== 'must')) return result
  const tried = 'the settings that were found do not meet every must when they are flown once more'
  return { ...result, outcome: 'unsure', evidence: 'searched', tried }
}

/** A margin no larger than this is "at its limit". */
const NEAR = 0.005

/** Which targets are at their limits: met by a hair, or broken by one more step of some lever, the others kept. */
export function atLimits(
  session: Session,
  x: Float64Array,
  judged: readonly Judged[],
  widths: readonly number[],
): { readonly at: readonly boolean[]; readonly work: number } {
  const { state, ranges } = session
  const at = judged.map(({ met, margin }) => met && margin <= NEAR)
  let work = 0
  for (const [lane, lever] of state.free.entries()) {
    const settings = ranges[lever]!.range.settings
    if (!settings) continue
    const k = settings.indexOf(x[lane]!)
    for (const next of [k - 1, k + 1]) {
      if (k < 0 || next < 0 || next >= settings.length || at.every((near, t) => near || !judged[t]!.met)) continue
      const moved = x.slice()
      moved[lane] = settings[next]!
      state.evaluate(moved, { accuracy: 'medium', slopes: false, scope: 'wanted' })
      work += state.work
      judge(state, widths).forEach(({ met }, t) => {
        if (!met && judged[t]!.met) at[t] = true
      })
    }
  }
  return { at, work }
}

/** What of a target is worked out only when it is asked for, by its place. */
export interface Later {
  readonly price: (target: number) => PriceAnswer | null
  readonly sensitivities: (target: number) => TargetAnswer['sensitivities']
}

export function targetAnswers(
  session: Session,
  judged: readonly Judged[],
  at: readonly boolean[],
  later: Later,
): readonly TargetAnswer[] {
  const { state, compiled } = session
  const { opened } = compiled.reading
  return opened.targets.map((info, t) => {
    const { value, limits, margin, met } = judged[t]!
    const slots = state.program.targets[t]!
    const zero = limits.low === 0 || limits.high === 0
    const answer = {
      text: info.text,
      level: slots.level,
      met,
      atLimit: at[t]!,
      margin: json(margin),
      si: json(value),
      limit: [limitEnd(limits.low), limitEnd(limits.high)] as const,
      unit: targetUnit(info, value, opened),
      ...(zero && slots.kind !== 'within' && slots.kind !== 'equal within' ? { scale: limits.scale } : {}),
      ...(Number.isNaN(margin) ? { reason: noValue(state, slots, opened) } : {}),
    }
    return withLater(answer, {
      price: () => (at[t] ? later.price(t) : null),
      sensitivities: () => later.sensitivities(t),
    })
  })
}

/** Adds what is worked out once, when it is first asked for. */
function withLater(
  answer: Omit<TargetAnswer, 'price' | 'sensitivities'>,
  later: { price: () => PriceAnswer | null; sensitivities: () => TargetAnswer['sensitivities'] },
): TargetAnswer {
  let price: { readonly of: PriceAnswer | null } | null = null
  let sensitivities: TargetAnswer['sensitivities'] | null = null
  return Object.defineProperties(answer, {
    price: {
      enumerable: true,
      get: () => {
        price ??= { of: later.price() }
        return price.of
      },
    },
    sensitivities: {
      enumerable: true,
      get: () => {
        sensitivities ??= later.sensitivities()
        return sensitivities
      },
    },
  }) as TargetAnswer
}

/** An open end is null in the answer; the contract knows no infinite limit. */
function limitEnd(limit: number): number | null {
  return Number.isFinite(limit) ? limit : null
}

/** The limit's own unit first, then the figure's. */
function targetUnit(target: TargetInfo, value: number, opened: Opened): string {
  const like = target.id === null ? null : opened.info[target.id]!
  return unitFor(
    { dimension: target.dimension, unit: target.unit ?? like?.unit ?? null, figure: like?.figure ?? null },
    value,
  ).text
}

function noValue(state: State, slots: TargetSlots, opened: Opened): string {
  const slot = [slots.value, slots.low, slots.high, slots.tolerance].find(
    each => each !== -1 && Number.isNaN(state.values[each]!),
  )
  const reason = slot === undefined ? null : whySlot(state, slot)
  return reason ? sentence(reason, state, opened) : 'the band has no width here'
}

export function aimAnswers(session: Session): readonly AimAnswer[] {
  const { state, compiled } = session
  return compiled.reading.opened.aims.map((info, a) => {
    const slot = state.program.aims[a]!.value
    if (slot === -1) return { text: info.text, si: null }
    const like = info.id === null ? null : compiled.reading.opened.info[info.id]!
    const si = state.values[slot]!
    const unit = unitFor({ dimension: info.dimension, unit: like?.unit ?? null, figure: like?.figure ?? null }, si)
    return { text: info.text, si: json(si), unit: unit.text }
  })
}
