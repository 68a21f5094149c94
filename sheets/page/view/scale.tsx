import { batch } from '@preact/signals'
import { useMemo, useRef, useState } from 'preact/hooks'
import type { Stretch } from '../../outline.ts'
import { hatchAlong } from '../../picture/hatch.ts'
import type { LimitView, TargetView } from '../spoken.ts'
import * as store from '../state/store.ts'
import { edited, plainNumber, stepBelow } from '../text/edit.ts'
import { textWidth, useWidth } from './measure.ts'
import { shown } from './numbers.ts'

const LINE = 58
const HEIGHT = 88
const EDGE = 4
const LETTERS =
  '"Bahnschrift SemiCondensed", "Avenir Next Condensed", "Roboto Condensed", "Liberation Sans Narrow", "Arial Narrow", sans-serif'
const BOLD = `700 17px ${LETTERS}`
const PLAIN = `400 15px ${LETTERS}`
const DASH = { must: undefined, should: '7 3.5', could: '2 4' } as const

/** What a hand began with when it took a limit: the scale stands still while it moves. */
interface Grip {
  readonly text: string
  readonly limit: LimitView
  /** Where the limit stands in that text. */
  readonly at: Stretch
  readonly span: readonly [number, number]
  readonly tag: string
}

let grips = 0

/** A target's margin scale: limit ticks in their lanes with tabs to drag, hatching where one may not stand, the mark, the room. */
export function MarginScale({
  target,
  place,
  sentence,
  onType,
}: {
  readonly target: TargetView
  readonly place: number
  readonly sentence: string
  readonly onType: (limit: LimitView) => void
}) {
  const box = useRef<SVGSVGElement>(null)
  const width = useWidth(box, 600)
  const grip = useRef<Grip | null>(null)
  /** How far keys have moved each limit beyond what is written so far [SI]. */
  const ahead = useRef<Record<string, number>>({})
  const [shift, setShift] = useState<{ readonly end: string; readonly at: number } | null>(null)
  const { scale, state, family, level } = target
  const x = (share: number): number => EDGE + share * (width - 2 * EDGE)
  // While the mark moves they stand still.
  const hatches = useMemo(
    () =>
      scale.forbidden.map(([from, to]) =>
        hatchAlong(
          [
            [x(to), LINE - 2],
            [x(from), LINE - 2],
          ],
          family,
        ),
      ),
    [`${scale.forbidden}`, width, family],
  )
  const ink = state === 'short' || state === 'no value' ? 'short' : state === 'at its limit' ? 'limit' : 'ink'
  /** The text may be newer than what is on show: nothing is taken where the limit is no longer to be found in it. */
  const take = (limit: LimitView): Grip | null => {
    const at = limit.place && store.placeNow(limit.place.at)
    return at && { text: store.draft.value.text, limit, at, span: target.span, tag: `hand ${++grips}` }
  }
  const write = ({ text, limit, at, tag }: Grip, si: number, grain: number): void => {
    const { unit } = limit.place!
    const number = plainNumber((si - unit.zero) / unit.per, grain)
    store.changeText(edited(text, { at, with: unit.text === '' ? number : `${number} ${unit.text}` }), tag)
  }
  const moveTo = (clientX: number): void => {
    const now = grip.current!
    const rect = box.current!.getBoundingClientRect()
    const share = Math.min(1.2, Math.max(-0.2, (clientX - rect.left - EDGE) / (rect.width - 2 * EDGE)))
    const [from, to] = now.span
    const { unit } = now.limit.place!
    const grain = stepBelow((to - from) / unit.per / 300)
    const si = from + share * (to - from)
    store.showWith(() => setShift({ end: now.limit.end, at: share }))
    batch(() => {
      store.hold({ what: 'limit', name: target.text })
      write(now, si, grain)
    })
  }
  const release = (keep: boolean): void => {
    const now = grip.current
    grip.current = null
    store.showWith(null)
    setShift(null)
    store.release(() => {
      if (now && !keep) store.changeText(now.text, now.tag)
    })
  }
  const key = (event: KeyboardEvent, limit: LimitView): void => {
    if (!limit.place) return
    const { unit } = limit.place
    const number = (limit.si - unit.zero) / unit.per
    const step = stepBelow(
      Math.abs(number) > 0 ? Math.abs(number) / 50 : Math.abs(target.span[1] - target.span[0]) / unit.per / 50,
    )
    const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key]
    if (event.key === 'Escape' && grip.current) release(false)
    else if (event.key === 'Enter') onType(limit)
    else if (way !== undefined) {
      const { end } = limit
      const tag = `keys ${place} ${end}`
      ahead.current[end] = (ahead.current[end] ?? 0) + way * (event.shiftKey ? 10 : 1) * step * unit.per
      // A key that repeats faster than the answers come is written once for each of them, as far as it has come by then.
      store.whenPlaced(() => {
        const by = ahead.current[end] ?? 0
        ahead.current[end] = 0
        const now = store.answer.value?.targets[place]?.limits.find(each => each.end === end)
        const taken = now && take(now)
        if (taken) write({ ...taken, tag }, taken.limit.si + by, step)
      }, tag)
    } else return
    event.preventDefault()
  }
  return (
    <svg ref={box} class="scale" height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`}>
      <title>{sentence}</title>
      {hatches.map(d => (
        <path key={d} class="hatch" d={d} />
      ))}
      <line x1={x(0)} y1={LINE} x2={x(1)} y2={LINE} class="rule" />
      {target.ticks.map(({ at, text }) => (
        <g key={text}>
          <line x1={x(at)} y1={LINE} x2={x(at)} y2={LINE + 6} class="rule" />
          {x(at) > 12 && x(at) < width - 12 && (
            <text x={x(at)} y={LINE + 22} class="ticks" text-anchor="middle">
              {shown(text)}
            </text>
          )}
        </g>
      ))}
      {scale.room && <line x1={x(scale.room[0])} x2={x(scale.room[1])} y1={LINE} y2={LINE} class="room" />}
      {scale.overshoot && <path class="over" d={crossed(x(scale.overshoot[0]), x(scale.overshoot[1]))} />}
      {scale.ticks.map(at => (
        <line
          key={at}
          x1={x(at)}
          x2={x(at)}
          y1={20}
          y2={LINE + 1}
          class={`tick ${ink}`}
          stroke-dasharray={DASH[level]}
        />
      ))}
      <Mark target={target} x={x} width={width} ink={ink} />
      {target.limits.map(limit => (
        <Tab
          key={limit.end}
          target={target}
          limit={limit}
          at={x(shift && shift.end === limit.end ? Math.min(1, Math.max(0, shift.at)) : limit.at)}
          width={width}
          sentence={sentence}
          onTake={() => {
            grip.current = take(limit)
          }}
          onMove={event => {
            if (grip.current && (event.currentTarget as Element).hasPointerCapture(event.pointerId))
              moveTo(event.clientX)
          }}
          onRelease={release}
          onKey={event => key(event, limit)}
        />
      ))}
    </svg>
  )
}

interface TabProps {
  readonly target: TargetView
  readonly limit: LimitView
  readonly at: number
  readonly width: number
  readonly sentence: string
  readonly onTake: () => void
  readonly onMove: (event: PointerEvent) => void
  readonly onRelease: (keep: boolean) => void
  readonly onKey: (event: KeyboardEvent) => void
}

/** The tab on a limit tick: the sign that a hand may take it; the limit in words stands on the forbidden side. */
function Tab({ target, limit, at, width, sentence, onTake, onMove, onRelease, onKey }: TabProps) {
  const words = shown(width < 420 ? limit.short : limit.words)
  const long = textWidth(words, PLAIN)
  const forbiddenLeft = limit.end === 'low' || (limit.end === 'both' && at > width / 2)
  const left = forbiddenLeft ? at - 16 - long > 0 : at + 16 + long > width
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
        onPointerDown={event => {
          event.preventDefault()
          event.currentTarget.setPointerCapture(event.pointerId)
          event.currentTarget.focus({ preventScroll: true })
          onTake()
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

interface MarkProps {
  readonly target: TargetView
  readonly x: (share: number) => number
  readonly width: number
  readonly ink: string
}

/** The lozenge where the design is, its value above, and the dimension line to its limit with the distance in words. */
function Mark({ target, x, width, ink }: MarkProps) {
  const { scale, value, words } = target
  if (scale.mark === null)
    return (
      <text x={x(0.02)} y={LINE - 14} class="distance">
        {words}
      </text>
    )
  const at = x(scale.mark)
  const stretch = scale.room ?? scale.overshoot
  const tick = stretch ? x(Math.abs(stretch[0] - scale.mark) < 1e-9 ? stretch[1] : stretch[0]) : at
  const said = shown(words.includes(', ') ? words.slice(words.indexOf(', ') + 2) : '')
  const number = shown(value)
  const need = Math.max(textWidth(number, BOLD), textWidth(said, PLAIN)) + 12
  const right = at >= tick ? at + need < width || at - need < 0 : at - need < 0
  const place = right ? at + 9 : at - 9
  const anchor = right ? 'start' : 'end'
  return (
    <>
      {tick !== at && <path class={`dimension ${ink}`} d={dimension(Math.min(at, tick), Math.max(at, tick))} />}
      <text x={place} y={LINE - 24} class={`value ${ink}`} text-anchor={anchor}>
        {number}
      </text>
      <text x={place} y={LINE - 8} class={`distance ${ink === 'ink' ? '' : ink}`} text-anchor={anchor}>
        {said}
      </text>
      <path class={`lozenge ${ink}`} d={`M${at} ${LINE - 8}l8 8l-8 8l-8 -8Z`} />
      {scale.beyond && (
        <path
          class={`chevron ${ink}`}
          d={scale.beyond === 'left' ? `M${at + 16} ${LINE - 6}l-6 6l6 6` : `M${at - 16} ${LINE - 6}l6 6l-6 6`}
        />
      )}
    </>
  )
}

/** From mark to tick with arrowheads inside, or pointing in from outside where the gap is narrow. */
function dimension(left: number, right: number): string {
  const y = LINE - 18
  if (right - left >= 22)
    return `M${left} ${y}H${right}M${left + 6} ${y - 3.5}L${left} ${y}L${left + 6} ${y + 3.5}M${right - 6} ${y - 3.5}L${right} ${y}L${right - 6} ${y + 3.5}`
  return `M${left - 12} ${y}H${left}M${left - 6} ${y - 3.5}L${left} ${y}L${left - 6} ${y + 3.5}M${right + 12} ${y}H${right}M${right + 6} ${y - 3.5}L${right} ${y}L${right + 6} ${y + 3.5}`
}

/** Crosses from tick to mark, where it is over its limit. */
function crossed(from: number, to: number): string {
  let path = ''
  for (let at = from; at + 4 <= to; at += 6) path += `M${at} ${LINE - 5}l6 10M${at + 6} ${LINE - 5}l-6 10`
  return path === '' ? `M${from} ${LINE - 5}V${LINE + 5}` : path
}
