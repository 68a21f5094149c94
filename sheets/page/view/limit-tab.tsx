import type { LimitView, TargetView } from '../spoken.ts'
import { textWidth } from './measure.ts'
import { shown } from './numbers.ts'
import { PLAIN } from './scale-marks.tsx'
import { keepPage } from './touch.ts'

/** So far words may reach over the ends of a scale: nothing stands there [px]. */
const BESIDE = 10

interface TabProps {
  readonly target: TargetView
  readonly limit: LimitView
  readonly at: number
  readonly width: number
  readonly sentence: string
  readonly onTake: (event: PointerEvent) => void
  readonly onMove: (event: PointerEvent) => void
  readonly onRelease: (keep: boolean) => void
  readonly onKey: (event: KeyboardEvent) => void
}

/** The tab on a limit tick: the sign that a hand may take it; the limit in words stands on the forbidden side. */
export function Tab({ target, limit, at, width, sentence, onTake, onMove, onRelease, onKey }: TabProps) {
  const forbiddenLeft = limit.end === 'low' || (limit.end === 'both' && at > width / 2)
  const fits = (words: string, left: boolean): boolean => {
    const long = textWidth(words, PLAIN)
    return left ? at - 16 - long > -BESIDE : at + 16 + long < width + BESIDE
  }
  const whole = shown(width < 420 ? limit.short : limit.words)
  // Between two limits there is room for neither: there the number alone has to do.
  const bare = whole.replace(/(\d)\s\S+$/, '$1')
  const words = target.limits.length < 2 || fits(whole, forbiddenLeft) ? whole : bare
  const left = fits(words, forbiddenLeft) ? forbiddenLeft : !forbiddenLeft
  const { scale } = target
  const label = (
    <text x={at + (left ? -16 : 16)} y={16} class="limitwords" text-anchor={left ? 'end' : 'start'}>
      {words}
    </text>
  )
  if (!limit.place) return label
  const unit = limit.place.unit
  const number = (si: number): number => (si - unit.zero) / unit.per
  return (
    <>
      {label}
      <g
        class="handle"
        transform={`translate(${at.toFixed(2)} 12)`}
        role="slider"
        tabindex={0}
        aria-label={`limit of ${target.subject}, ${limit.words}`}
        aria-valuenow={number(limit.si)}
        aria-valuemin={number(target.span[0])}
        aria-valuemax={number(target.span[1])}
        aria-valuetext={sentence}
        data-limit={`${target.subject} ${limit.end}`}
        data-ticks={scale.ticks.length}
        onTouchStart={keepPage}
        onPointerDown={event => {
          event.preventDefault()
          event.currentTarget.setPointerCapture(event.pointerId)
          event.currentTarget.focus({ preventScroll: true })
          onTake(event)
        }}
        onPointerMove={onMove}
        onPointerUp={() => onRelease(true)}
        onPointerCancel={() => onRelease(false)}
        onKeyDown={onKey}
      >
        <rect x={-22} y={-12} width={44} height={44} class="hit" />
        <rect x={-11} y={-8} width={22} height={16} class="tab" />
        <path d="M-5 -4V4M0 -4V4M5 -4V4" class="ridges" />
      </g>
    </>
  )
}
