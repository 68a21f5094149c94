import { useMemo, useRef } from 'preact/hooks'
import type { LeverView } from '../spoken.ts'
import { pinned } from '../state/pins.ts'
import { pressed } from '../state/presses.ts'
import * as store from '../state/store.ts'
import { stepBelow } from '../text/edit.ts'
import { keyOf, stepsOf } from './handle-keys.ts'
import { apart, useWidth } from './measure.ts'
import { shown } from './numbers.ts'
import { keepPage, STILL } from './touch.ts'

const LINE = 34
/** Beyond the ends of the range, so that the pointer and the ring of its focus have room there. */
const EDGE = 18
const HEIGHT = 62
/** Ticks of steps closer together than this are thinned [px]. */
const THINNEST = 3

/** A lever as a ruler: each step a tick, solid stops at its ends, a pointer that a hand may take. */
export function Ruler({
  lever,
  put,
  isPinned,
  sentence,
  onType,
}: {
  readonly lever: LeverView
  /** Where a hand has put it that no answer comes to while a line needs mending [SI]. */
  readonly put: number | null
  readonly isPinned: boolean
  readonly sentence: string
  readonly onType: () => void
}) {
  const box = useRef<SVGSVGElement>(null)
  const width = useWidth(box, 300)
  const before = useRef<ReturnType<typeof others> | null>(null)
  /** Where a hand took the pointer, across the page [px]. */
  const taken = useRef(0)
  const { from, to, settings, si } = lever
  const held = store.moving.value?.what === 'lever' && store.moving.value.name === lever.name
  const here = held ? (store.heldShown.value?.[lever.name] ?? si) : (put ?? si)
  const x = (value: number): number => EDGE + ((value - from) / (to - from)) * (width - 2 * EDGE)
  const nearest = (value: number): number => {
    const inside = Math.min(to, Math.max(from, value))
    if (!settings) {
      const grain = lever.unit.per * stepBelow((to - from) / lever.unit.per / 500)
      return Math.min(to, Math.max(from, from + Math.round((inside - from) / grain) * grain))
    }
    return settings.reduce((best, each) => (Math.abs(each - inside) < Math.abs(best - inside) ? each : best))
  }
  const move = (value: number): void => {
    before.current ??= others()
    store.hold({ what: 'lever', name: lever.name }, pinned(before.current, lever.name, nearest(value)))
  }
  const settle = (keep: boolean): void => {
    const value = store.held.value?.[lever.name]
    before.current = null
    store.release(() => {
      if (keep && value !== undefined) store.pin(lever.name, value)
    })
  }
  const atPointer = (event: PointerEvent): number => {
    const rect = box.current!.getBoundingClientRect()
    return from + ((event.clientX - rect.left - EDGE) / (rect.width - 2 * EDGE)) * (to - from)
  }
  const key = (event: KeyboardEvent): void => {
    const step = settings ? settings[1]! - settings[0]! : lever.unit.per * stepBelow((to - from) / lever.unit.per / 100)
    const [steps, key] = [stepsOf(event), keyOf(event)]
    const { pins } = store.draft.peek()
    const kept = Object.hasOwn(pins, lever.name)
    // A key that repeats faster than the answers come goes on from where it has come by then.
    const now = held ? here : kept ? pins[lever.name]! : si
    const put = (value: number): void =>
      store.pin(lever.name, nearest(value), pressed(`lever ${lever.name}`, event.timeStamp))
    if (steps !== undefined) put(now + steps * step)
    else if (key === 'Home') put(from)
    else if (key === 'End') put(to)
    else if (key === 'Enter') onType()
    else if (key === 'p' || key === 'P') kept ? store.letGo(lever.name) : store.pin(lever.name, now)
    else if (key === 'Escape') {
      if (held) settle(false)
      else store.letGo(lever.name)
    } else return
    event.preventDefault()
  }
  // While the pointer moves it stands still.
  const rule = useMemo(
    () => <Rule lever={lever} width={width} />,
    [`${from} ${to} ${settings}`, lever.ticks.map(({ at, text }) => `${at} ${text}`).join(), width],
  )
  return (
    <svg ref={box} class="ruler" height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`} aria-hidden="false">
      <title>{sentence}</title>
      {rule}
      <g
        class={`pointer${held || isPinned ? ' pinned' : ''}`}
        transform={`translate(${x(here).toFixed(2)} ${LINE})`}
        role="slider"
        tabindex={0}
        aria-label={lever.name}
        aria-valuemin={(from - lever.unit.zero) / lever.unit.per}
        aria-valuemax={(to - lever.unit.zero) / lever.unit.per}
        aria-valuenow={(here - lever.unit.zero) / lever.unit.per}
        aria-valuetext={sentence}
        onTouchStart={keepPage}
        onPointerDown={event => {
          event.preventDefault()
          event.currentTarget.setPointerCapture(event.pointerId)
          event.currentTarget.focus({ preventScroll: true })
          before.current = others()
          taken.current = event.clientX
        }}
        onPointerMove={event => {
          const drags = held || Math.abs(event.clientX - taken.current) >= STILL
          if (drags && before.current && event.currentTarget.hasPointerCapture(event.pointerId)) move(atPointer(event))
        }}
        onPointerUp={() => {
          const pressed = before.current !== null && !held
          settle(held)
          if (pressed) onType()
        }}
        onPointerCancel={() => settle(false)}
        onKeyDown={key}
      >
        <rect x={-22} y={-32} width={44} height={44} class="hit" />
        <path d="M-10 -28H10V-13L0 -2L-10 -13Z" class="tab" />
        <path d="M-4 -24V-16M0 -24V-16M4 -24V-16" class="ridges" />
      </g>
    </svg>
  )
}

/** The ruler itself: its line, its stops, a tick for each step, numbers. */
function Rule({ lever, width }: { readonly lever: LeverView; readonly width: number }) {
  const x = (at: number): number => EDGE + at * (width - 2 * EDGE)
  const told = apart(lever.ticks.map(({ at, text }) => ({ x: x(at), words: shown(text) })))
  return (
    <>
      <line x1={EDGE} y1={LINE} x2={width - EDGE} y2={LINE} class="rule" />
      <rect x={EDGE - 4} y={LINE - 9} width={4} height={18} class="stop" />
      <rect x={width - EDGE} y={LINE - 9} width={4} height={18} class="stop" />
      <path d={stepTicks(lever, width)} class="fine" />
      {lever.ticks.map(({ at, text }, k) => (
        <g key={text}>
          <line x1={x(at)} x2={x(at)} y1={LINE} y2={LINE + 8} class="rule" />
          {told[k] && (
            <text x={x(at)} y={LINE + 24} class="ticks" text-anchor="middle" aria-hidden>
              {shown(text)}
            </text>
          )}
        </g>
      ))}
    </>
  )
}

/** The settings of the answer as pins: while a hand moves one lever the others stay where they are. */
function others(): Readonly<Record<string, number>> {
  return Object.fromEntries((store.answer.value?.levers ?? []).map(({ name, si }) => [name, si]))
}

function stepTicks({ settings, from, to }: LeverView, width: number): string {
  if (!settings || settings.length < 2) return ''
  const gap = (width - 2 * EDGE) / (settings.length - 1)
  const every = Math.max(1, [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000].find(n => n * gap >= THINNEST) ?? 5000)
  let path = ''
  for (let k = 0; k < settings.length; k += every) {
    const at = EDGE + ((settings[k]! - from) / (to - from)) * (width - 2 * EDGE)
    path += `M${at.toFixed(1)} ${LINE}v${(k / every) % 10 === 0 ? 7 : (k / every) % 5 === 0 ? 6 : 4}`
  }
  return path
}
