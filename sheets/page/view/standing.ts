import type { TargetView, Tick } from '../spoken.ts'

/** A scale as it stood when a hand took a limit: the SI values at its ends, and its numbers. */
export interface Standing {
  readonly span: readonly [number, number]
  readonly ticks: readonly Tick[]
}

/**
 * A target drawn on a scale that stands still, while its own would move with its limit: marks, stretches and ticks are where their values lie
 * on that one, held inside it. What reaches to an end of its own scale reaches to the end of this one.
 */
export function onStanding(target: TargetView, { span, ticks }: Standing): TargetView {
  const [from, to] = target.span
  const [first, last] = span
  if (!(last > first)) return target
  const place = (share: number): number => (from + share * (to - from) - first) / (last - first)
  const inside = (share: number): number => Math.min(1, Math.max(0, place(share)))
  const end = (share: number): number => (share <= 0 ? 0 : share >= 1 ? 1 : inside(share))
  const stretch = ([a, b]: readonly [number, number]): readonly [number, number] => [inside(a), inside(b)]
  const { scale } = target
  const stands = scale.mark === null ? null : place(scale.mark)
  const beyond = stands === null ? null : stands < 0 ? 'left' : stands > 1 ? 'right' : scale.beyond
  return {
    ...target,
    span,
    ticks,
    scale: {
      ticks: scale.ticks.map(inside),
      forbidden: scale.forbidden.map(([a, b]) => [end(a), end(b)] as const).filter(([a, b]) => b > a),
      mark: scale.mark === null ? null : inside(scale.mark),
      beyond,
      room: scale.room && stretch(scale.room),
      overshoot: scale.overshoot && stretch(scale.overshoot),
    },
    limits: target.limits.map(limit => ({ ...limit, at: inside(limit.at) })),
  }
}
