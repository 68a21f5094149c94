import { useRef } from 'preact/hooks'
import { listed } from '../../report/listed.ts'
import type { AxisView, DetailShown, LeverView, MapShown } from '../spoken.ts'
import { askMapPicture } from '../state/asking.ts'
import { without } from '../state/pins.ts'
import * as store from '../state/store.ts'
import { Drawing } from './drawing.tsx'
import { keyOf, stepsOf } from './handle-keys.ts'
import { LETTERS, textWidth, useSight } from './measure.ts'
import { shown } from './numbers.ts'
import { keepPage } from './touch.ts'

/** The trade map with its mark, which a hand may drag: that holds both levers; let go, and the sheet is solved again. */
export function TradeMap() {
  const map = store.map.value
  return map && <MapSection map={map} />
}

function MapSection({ map }: { readonly map: MapShown }) {
  const section = useRef<HTMLElement>(null)
  useSight(section, seen => store.see('map', seen))
  return (
    <section ref={section} aria-labelledby="trademap" class={store.stale.value ? 'stale' : ''}>
      <div class="row">
        <h2 id="trademap">Trade map</h2>
        <p class="hint">
          {map.clear
            ? 'drag the mark to hold both levers; let go and it solves again'
            : 'no place lies clear of all lines; the numbers are where each mend would land'}
        </p>
        <button type="button" class="foot" onClick={askMapPicture}>
          Save picture
        </button>
      </div>
      <div class="withdetail">
        <div class="mapbox sized" ref={box => box?.style.setProperty('--wide', `${map.width}px`)}>
          <Drawing svg={map.svg} label={map.words} />
          <Mark map={map} />
        </div>
        {map.detail && <Detail map={map} detail={map.detail} />}
      </div>
    </section>
  )
}

/** Detail A: the ground by the solution, enlarged; a pin may have the mark elsewhere. Its mark follows the large one; the hand is taken there. */
function Detail({ map, detail }: { readonly map: MapShown; readonly detail: DetailShown }) {
  const { svg, width, height, frame } = detail
  const [left, top, right, bottom] = frame
  const levers = store.answer.value?.levers ?? []
  const share = (axis: AxisView, [from, to]: readonly [number, number], place: 0 | 1): number => {
    const si = levers.find(({ name }) => name === axis.lever)?.si ?? map.mark?.[place] ?? from
    return (si - from) / (to - from)
  }
  const [a, b] = [share(map.across, detail.across, 0), share(map.up, detail.up, 1)]
  const inside = a >= 0 && a <= 1 && b >= 0 && b <= 1
  const [x, y] = [left + a * (right - left), bottom - b * (bottom - top)]
  return (
    <div class="mapbox sized" ref={box => box?.style.setProperty('--wide', `${width}px`)}>
      <Drawing svg={svg} label="Detail A: the ground by the solution on the trade map, enlarged" />
      {inside && (
        <svg class="over" viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          <path class="thread" d={`M${left} ${y}H${x}V${bottom}`} />
          <path d={`M${x} ${y - 11}l11 11l-11 11l-11 -11Z`} class="lozenge ink" />
        </svg>
      )}
    </div>
  )
}

/** A tag stands so far from the numbers of its axis [px]. */
const APART = 3

function nearest(lever: LeverView | undefined, axis: AxisView, value: number): number {
  const inside = Math.min(axis.range[1], Math.max(axis.range[0], value))
  if (!lever?.settings) return inside
  return lever.settings.reduce((best, each) => (Math.abs(each - inside) < Math.abs(best - inside) ? each : best))
}

function Mark({ map }: { readonly map: MapShown }) {
  const taken = useRef(false)
  const { frame, across, up, width, height } = map
  const [left, top, right, bottom] = frame
  const levers = store.answer.value?.levers ?? []
  const lever = (name: string): LeverView | undefined => levers.find(each => each.name === name)
  const moved = store.moving.value?.what === 'map'
  const held = moved ? store.heldShown.value : null
  const heldAt = (pins: typeof held): readonly [number, number] => {
    const at = (axis: AxisView, place: 0 | 1): number =>
      pins?.[axis.lever] ?? lever(axis.lever)?.si ?? map.mark?.[place] ?? axis.range[0]
    return [at(across, 0), at(up, 1)]
  }
  const here = heldAt(held)
  const x = left + ((here[0] - across.range[0]) / (across.range[1] - across.range[0])) * (right - left)
  const y = bottom - ((here[1] - up.range[0]) / (up.range[1] - up.range[0])) * (bottom - top)
  const hold = (a: number, b: number): void => {
    store.hold(
      { what: 'map', name: across.lever },
      {
        ...Object.fromEntries(levers.map(({ name, si }) => [name, si])),
        [across.lever]: nearest(lever(across.lever), across, a),
        [up.lever]: nearest(lever(up.lever), up, b),
      },
    )
  }
  const release = (change?: () => void): void => {
    taken.current = false
    store.release(change)
  }
  const drag = (event: PointerEvent): void => {
    if (!taken.current) return
    const rect = (event.currentTarget as SVGGElement).ownerSVGElement!.getBoundingClientRect()
    const px = ((event.clientX - rect.left) / rect.width) * width
    const py = ((event.clientY - rect.top) / rect.height) * height
    hold(
      across.range[0] + ((px - left) / (right - left)) * (across.range[1] - across.range[0]),
      up.range[0] + ((bottom - py) / (bottom - top)) * (up.range[1] - up.range[0]),
    )
  }
  const step = (name: string, axis: AxisView): number => {
    const settings = lever(name)?.settings
    return settings && settings.length > 1 ? settings[1]! - settings[0]! : (axis.range[1] - axis.range[0]) / 100
  }
  const key = (event: KeyboardEvent): void => {
    const [steps, key] = [stepsOf(event), keyOf(event)]
    // Keys go on from where the mark is held, shown by now or not.
    const now = heldAt(moved ? store.held.peek() : null)
    const edge = { Home: across.range[0], End: across.range[1] }[key]
    const draft = store.draft.peek()
    const { pins } = draft
    const both = Object.hasOwn(pins, across.lever) && Object.hasOwn(pins, up.lever)
    const wants = key === 'p' || key === 'P'
    if (key === 'Escape' && moved) release()
    else if (key === 'Escape' || (wants && both && !moved))
      store.change({ ...draft, pins: without(without(pins, across.lever), up.lever) })
    else if (wants || key === 'Enter')
      release(() => store.change({ ...draft, pins: { ...pins, [across.lever]: now[0], [up.lever]: now[1] } }))
    else if (edge !== undefined) hold(edge, now[1])
    else if (steps === undefined) return
    else if (key === 'ArrowLeft' || key === 'ArrowRight') hold(now[0] + steps * step(across.lever, across), now[1])
    else hold(now[0], now[1] + steps * step(up.lever, up))
    event.preventDefault()
  }
  const said = (name: string): string => {
    const found = lever(name)
    if (!found) return name
    return `${shown(`${name} ${found.number} ${found.unit.text}`.trim())}${found.pinned && !moved ? ' pinned' : ''}`
  }
  const short = [
    ...new Set(store.answer.value?.targets.flatMap(({ state, subject }) => (state === 'short' ? subject : []))),
  ]
  const outcome = short.length === 0 ? 'every target met' : `${listed(short)} short`
  const conflict = store.answer.value?.outcome === 'conflict' && !store.byHand.value
  return (
    <svg class="over" viewBox={`0 0 ${width} ${height}`}>
      <title>The mark of the trade map</title>
      <path class="thread" d={`M${left} ${y}H${x}V${bottom}`} />
      <Tag x={x} y={bottom + 17} words={shown(lever(across.lever)?.number ?? '')} numbers={map.numbers} />
      <Tag x={left - 20} y={y} words={shown(lever(up.lever)?.number ?? '')} numbers={map.numbers} />
      <g
        class="handle mapmark"
        transform={`translate(${x.toFixed(1)} ${y.toFixed(1)})`}
        role="slider"
        tabindex={0}
        aria-label={`mark of the trade map: ${across.lever} and ${up.lever}`}
        aria-valuenow={here[0]}
        aria-valuemin={across.range[0]}
        aria-valuemax={across.range[1]}
        aria-valuetext={`${said(across.lever)}, ${said(up.lever)}, ${outcome}`}
        onTouchStart={keepPage}
        onPointerDown={event => {
          event.preventDefault()
          event.currentTarget.setPointerCapture(event.pointerId)
          event.currentTarget.focus({ preventScroll: true })
          taken.current = true
        }}
        onPointerMove={drag}
        onPointerUp={() => release()}
        onPointerCancel={() => release()}
        onKeyDown={key}
        onBlur={() => {
          if (moved) release()
        }}
      >
        <circle r={30} class="hit" />
        <path d="M0 -13L13 0L0 13L-13 0Z" class={conflict ? 'lozenge open' : 'lozenge ink'} />
      </g>
    </svg>
  )
}

interface TagProps {
  readonly x: number
  readonly y: number
  readonly words: string
  readonly numbers: MapShown['numbers']
}

/** A setting on a solid tag at its axis; of the axis' own numbers those that it would cut into are not shown. */
function Tag({ x, y, words, numbers }: TagProps) {
  const width = textWidth(words, `700 16px ${LETTERS}`) + 14
  // A long number moves in from the edge of the picture.
  const at = Math.max(x, width / 2)
  const cutInto = numbers.filter(
    ([from, top, wide, high]) =>
      from < at + width / 2 + APART &&
      from + wide > at - width / 2 - APART &&
      top < y + 12 + APART &&
      top + high > y - 12 - APART,
  )
  return (
    <>
      {cutInto.map(([from, top, wide, high]) => (
        <rect key={`${from} ${top}`} class="cover" x={from - 1} y={top - 1} width={wide + 2} height={high + 3} />
      ))}
      <rect class="tagbox" x={at - width / 2} y={y - 12} width={width} height={24} />
      <text class="tagwords" x={at} y={y + 6} text-anchor="middle">
        {words}
      </text>
    </>
  )
}
