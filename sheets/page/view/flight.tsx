import { signal } from '@preact/signals'
import type { TargetedPointerEvent } from 'preact'
import { useRef } from 'preact/hooks'
import type { FlightView } from '../spoken.ts'
import { savePicture, saveRows } from '../state/files.ts'
import * as store from '../state/store.ts'
import { Drawing } from './drawing.tsx'
import { keyOf, stepsOf } from './handle-keys.ts'
import { useSight } from './measure.ts'
import { shown } from './numbers.ts'

/** The time that the one cursor of all strips stands at [s]; null where nobody points. */
const cursor = signal<number | null>(null)

/** The flight over time: four strips, one cursor. */
export function Flight() {
  const flight = store.flight.value
  return flight && <FlightSection flight={flight} />
}

function FlightSection({ flight }: { readonly flight: FlightView }) {
  const section = useRef<HTMLElement>(null)
  useSight(section, seen => store.see('flight', seen))
  return (
    <section ref={section} aria-labelledby="flight" class={store.stale.value ? 'stale' : ''}>
      <div class="row">
        <h2 id="flight">Flight</h2>
        {flight.names.length > 1 ? (
          <span class="hint">
            <label for="whichflight">which flight</label>{' '}
            <select
              id="whichflight"
              value={flight.name}
              onChange={event => {
                cursor.value = null
                store.flightName.value = event.currentTarget.value
              }}
            >
              {flight.names.map(name => (
                <option key={name} value={name}>
                  {name}
                </option>
              ))}
            </select>
          </span>
        ) : (
          <p class="hint">{flight.name}</p>
        )}
        <p class="hint">one cursor for all four</p>
        <button type="button" class="foot" onClick={() => savePicture(flight.svg, 'flight')}>
          Save picture
        </button>
        <button type="button" class="foot" onClick={() => saveRows(flight)}>
          Save rows
        </button>
      </div>
      <div class="mapbox">
        <Drawing svg={flight.svg} label={`The flight ${flight.name} over time`} />
        <Cursor flight={flight} />
      </div>
      <p class={cursor.value === null ? 'hint lettering' : 'hint lettering readout'} aria-live="off">
        {told(flight)}
      </p>
    </section>
  )
}

function Cursor({ flight }: { readonly flight: FlightView }) {
  const { width, height, left, right, top, end } = flight
  const time = cursor.value
  const at = (clientX: number, svg: Element): number => {
    const rect = svg.getBoundingClientRect()
    const x = ((clientX - rect.left) / rect.width) * width
    return Math.min(end, Math.max(0, ((x - left) / (right - left)) * end))
  }
  const point = (event: TargetedPointerEvent<SVGSVGElement>): void => {
    cursor.value = at(event.clientX, event.currentTarget)
  }
  const x = left + ((time ?? 0) / end) * (right - left)
  const key = (event: KeyboardEvent): void => {
    const [steps, key] = [stepsOf(event), keyOf(event)]
    if (steps !== undefined) cursor.value = Math.min(end, Math.max(0, (time ?? 0) + (steps * end) / 200))
    else if (key === 'Home') cursor.value = 0
    else if (key === 'End') cursor.value = end
    else if (key === 'Escape') cursor.value = null
    else return
    event.preventDefault()
  }
  return (
    <svg
      class="over takes"
      viewBox={`0 0 ${width} ${height}`}
      role="slider"
      tabindex={0}
      aria-label="time of the flight"
      aria-valuemin={0}
      aria-valuemax={end}
      aria-valuenow={time ?? 0}
      aria-valuetext={told(flight)}
      onPointerDown={point}
      onPointerMove={point}
      onPointerLeave={event => {
        // A finger that is lifted has left its cursor there to be read.
        if (event.pointerType === 'mouse') cursor.value = null
      }}
      onKeyDown={key}
    >
      {time !== null && <line class="cursor" x1={x} x2={x} y1={top} y2={height - 80} />}
    </svg>
  )
}

/** The columns told at the cursor, each in the unit that it is drawn in. */
const TOLD: readonly (readonly [string, number, string, number])[] = [
  ['altitude', 1000, 'km', 3],
  ['speed', 1, 'm/s', 4],
  ['felt acceleration', 9.80665, 'g0', 3],
  ['dynamic pressure', 1000, 'kPa', 3],
]

function told(flight: FlightView): string {
  const time = cursor.value
  if (time === null) return 'point at a strip, or move the cursor with the arrows'
  const { rows, columns } = flight
  const at = (row: number, column: number): number => rows[row * columns.length + column]!
  let low = 0
  let high = rows.length / columns.length - 1
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (at(middle, 0) <= time) low = middle
    else high = middle
  }
  const [from, to] = [at(low, 0), at(high, 0)]
  const share = to > from ? (time - from) / (to - from) : 0
  const parts = TOLD.flatMap(([name, per, unit, digits]) => {
    const column = columns.indexOf(name)
    if (column === -1) return []
    const value = (at(low, column) + share * (at(high, column) - at(low, column))) / per
    // Thousandths are as fine as anybody reads a curve: what is left of the air is none.
    const read = Number(Number(value.toPrecision(digits)).toFixed(3))
    return Number.isFinite(value) ? [`${name} ${read} ${unit}`] : []
  })
  return shown([`${Number(time.toPrecision(4))} s`, ...parts].join(', '))
}
