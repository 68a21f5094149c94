import { batch } from '@preact/signals'
import { useMemo, useRef, useState } from 'preact/hooks'
import type { Stretch } from '../../outline.ts'
import { hatchAlong } from '../../picture/hatch.ts'
import type { LimitView, TargetView } from '../spoken.ts'
import { placeNow, whenPlaced } from '../state/places.ts'
import { pressed } from '../state/presses.ts'
import * as store from '../state/store.ts'
import { edited, followed, plainNumber, stepBelow } from '../text/edit.ts'
import { keyOf, stepsOf } from './handle-keys.ts'
import { Tab } from './limit-tab.tsx'
import { useWidth } from './measure.ts'
import { crossed, LINE, Mark, Rule } from './scale-marks.tsx'
import { onStanding, type Standing } from './standing.ts'
import { STILL } from './touch.ts'

const HEIGHT = 88
const EDGE = 4
const DASH = { must: undefined, should: '7 3.5', could: '2 4' } as const

/** What a hand began with when it took a limit: the scale stands still while it moves. */
interface Grip {
  readonly text: string
  readonly limit: LimitView
  /** Where the limit stands in that text. */
  readonly at: Stretch
  readonly scale: Standing
  readonly tag: string
  /** Where the hand was then, across the page [px]. */
  readonly from: number
}

let grips = 0

/** A target's margin scale: limit ticks in their lanes with tabs to drag, hatching where one may not stand, the mark, the room. */
export function MarginScale({
  target: answered,
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
  const target = grip.current ? onStanding(answered, grip.current.scale) : answered
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
  const rule = useMemo(
    () => <Rule ticks={target.ticks} x={x} width={width} />,
    [target.ticks.map(({ at, text }) => `${at} ${text}`).join(), width],
  )
  const ink = state === 'short' || state === 'no value' ? 'short' : state === 'at its limit' ? 'limit' : 'ink'
  /** The text may be newer than what is on show: nothing is taken where the limit is no longer to be found in it. */
  const take = (limit: LimitView, from = 0): Grip | null => {
    const at = limit.place && placeNow(limit.place.at)
    return (
      at && {
        text: store.draft.value.text,
        limit,
        at,
        scale: { span: answered.span, ticks: answered.ticks },
        tag: `hand ${++grips}`,
        from,
      }
    )
  }
  const write = ({ text, limit, at, tag }: Grip, wanted: number, grain: number): void => {
    const { unit } = limit.place!
    const si = onItsSide(limit, wanted, Math.abs(grain * unit.per))
    const number = plainNumber((si - unit.zero) / unit.per, grain)
    store.changeText(edited(text, { at, with: unit.text === '' ? number : `${number} ${unit.text}` }), tag)
  }
  /** A band has to stay one: its lower end below its upper, however far a hand goes. */
  const onItsSide = ({ end }: LimitView, si: number, grain: number): number => {
    const other = answered.limits.find(each => each.end !== end)
    if (!other) return si
    return end === 'low' ? Math.min(si, other.si - grain) : Math.max(si, other.si + grain)
  }
  /** What was typed elsewhere may have been written between the hand's taking the tab and its first move. */
  const asWritten = (taken: Grip): Grip | null => {
    const { text } = store.draft.peek()
    const at = followed(taken.at, taken.text, text)
    return at && { ...taken, text, at }
  }
  const moveTo = (clientX: number): void => {
    if (store.moving.peek() === null) {
      if (Math.abs(clientX - grip.current!.from) < STILL) return
      grip.current = asWritten(grip.current!)
    }
    const now = grip.current
    if (!now) return
    const rect = box.current!.getBoundingClientRect()
    const share = Math.min(1.2, Math.max(-0.2, (clientX - rect.left - EDGE) / (rect.width - 2 * EDGE)))
    const [from, to] = now.scale.span
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
    const [least, most] = target.span
    const number = (limit.si - unit.zero) / unit.per
    const step = stepBelow(Math.abs(number) > 0 ? Math.abs(number) / 50 : Math.abs(most - least) / unit.per / 50)
    const [steps, key] = [stepsOf(event), keyOf(event)]
    const edge = { Home: least, End: most }[key]
    if (key === 'Escape' && grip.current) release(false)
    else if (key === 'Enter') onType(limit)
    else if (steps !== undefined || edge !== undefined) {
      const { end } = limit
      const [tag, gesture] = [`keys ${place} ${end}`, pressed(`limit ${place} ${end}`, event.timeStamp)]
      ahead.current[end] = steps === undefined ? edge! - limit.si : (ahead.current[end] ?? 0) + steps * step * unit.per
      // A key that repeats faster than the answers come is written once for each of them, as far as it has come by then.
      whenPlaced(() => {
        const by = ahead.current[end] ?? 0
        ahead.current[end] = 0
        const now = store.answer.value?.targets[place]?.limits.find(each => each.end === end)
        const taken = now && take(now)
        if (taken) write({ ...taken, tag: gesture }, taken.limit.si + by, step)
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
      {rule}
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
          onTake={event => {
            grip.current = take(limit, event.clientX)
          }}
          onMove={event => {
            if (grip.current && (event.currentTarget as Element).hasPointerCapture(event.pointerId))
              moveTo(event.clientX)
          }}
          onRelease={keep => {
            const pressed = keep && grip.current && store.moving.peek() === null
            release(keep)
            if (pressed) onType(limit)
          }}
          onKey={event => key(event, limit)}
        />
      ))}
    </svg>
  )
}
