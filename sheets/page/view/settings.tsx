import { useRef, useState } from 'preact/hooks'
import type { LeverView } from '../spoken.ts'
import { askSetting } from '../state/asking.ts'
import { unanswered } from '../state/pins.ts'
import * as store from '../state/store.ts'
import { plainNumber } from '../text/edit.ts'
import { useBehind } from './later.tsx'
import { LETTERS, textWidth } from './measure.ts'
import { shown } from './numbers.ts'
import { Ruler } from './ruler.tsx'

/** The settings, as large as may be, and what to load. */
export function Settings() {
  const answer = store.answer.value
  if (!answer || answer.outcome === 'faulty') return null
  const conflict = answer.outcome === 'conflict' && !store.byHand.value
  return (
    <section class={`settings${answer.stale || conflict ? ' stale' : ''}`} aria-label="settings">
      {answer.levers.length === 0 && <p class="setting">Nothing to set: this sheet has no levers.</p>}
      {answer.levers.map(lever => (
        <Setting key={lever.name} lever={lever} conflict={conflict} />
      ))}
      <Load />
    </section>
  )
}

function Setting({ lever, conflict }: { readonly lever: LeverView; readonly conflict: boolean }) {
  const { name, unit } = lever
  const { number, pinned, put, words: waits } = standing(lever)
  const [typing, setTyping] = useState(false)
  const behind = useBehind(typing)
  const box = useRef<HTMLDivElement>(null)
  const moving = store.moving.value
  const held = moving?.what === 'lever' && moving.name === name
  const why = store.explained('held', name) ?? '\u00a0'
  const words = waits ?? (conflict ? notToFly(pinned) : pinned || held ? 'pinned' : why)
  const old = words === why && store.whyOld.value
  // What held another setting is not told of this one: a listener sees no pencil.
  const sentence = [`${name} ${number} ${unit.text}`.trim(), ...(old ? [] : [words])].join(', ')
  return (
    <div class="setting" ref={box} style={useRoom(lever.number, unit.text)}>
      <div class="row">
        <h2>{name}</h2>
        <button type="button" class="foot" onClick={() => (pinned ? store.letGo(name) : store.pin(name, lever.si))}>
          {pinned ? 'Let go' : 'Pin'}
          <span class="unseen"> {name}</span>
        </button>
      </div>
      <p class="large">
        {typing && behind ? (
          <behind.Typing
            before=""
            label={`setting of ${name}`}
            written={`${number} ${unit.text}`.trim()}
            write={(words, answered) => askSetting(name, words, answered)}
            onLeave={() => box.current!.querySelector<SVGElement>('.pointer')!.focus({ preventScroll: true })}
            onDone={() => setTyping(false)}
          />
        ) : (
          <>
            {shown(lever.number)} <small>{unit.text}</small>
          </>
        )}
      </p>
      <Ruler lever={lever} put={put} isPinned={pinned} sentence={sentence} onType={() => setTyping(true)} />
      <p class={`held${conflict ? ' short' : ''}${old ? ' stale' : ''}`}>{shown(words)}</p>
      {lever.description && <p class="about">{lever.description}</p>}
    </div>
  )
}

/** Where a hand has put a lever: as the answer on show has it, or, where a line needs mending first, as it will be asked for then. */
function standing(lever: LeverView): {
  readonly number: string
  readonly pinned: boolean
  /** Where it will be, [SI], if that is not where the answer has it. */
  readonly put: number | null
  readonly words: string | null
} {
  const put = store.wrong.value ? unanswered(store.draft.value.pins, lever) : undefined
  if (put === undefined) return { number: lever.number, pinned: lever.pinned, put: null, words: null }
  const then = 'once the sheet is mended'
  if (put === null) return { number: lever.number, pinned: false, put, words: `let go ${then}` }
  const { unit, from, to } = lever
  const number = plainNumber((put - unit.zero) / unit.per, (to - from) / unit.per / 1e6)
  return { number, pinned: true, put, words: `pinned at ${number} ${unit.text} ${then}`.replace('  ', ' ') }
}

/** In a conflict: what a hand has set is no compromise. */
function notToFly(pinned: boolean): string {
  return pinned ? 'pinned; not a setting to fly' : 'closest compromise, not a setting to fly'
}

/** How wide a setting is, in units of the size of its letters: it is set as large as its place allows. */
function lettersOf(number: string, unit: string): number {
  return (textWidth(`${shown(number)} `, `700 100px ${LETTERS}`) + textWidth(unit, `400 50px ${LETTERS}`)) / 100
}

function roomOf(letters: number, kept = letters): Readonly<Record<`--${string}`, string>> {
  return { '--letters': letters.toFixed(3), '--kept': kept.toFixed(3) }
}

/** The same, with the room it had when a hand took it: the rulers stay in their rows under the hand. */
function useRoom(number: string, unit: string): ReturnType<typeof roomOf> {
  const letters = lettersOf(number, unit)
  const kept = useRef(letters)
  if (store.moving.value === null) kept.current = letters
  return roomOf(letters, kept.current)
}

function Load() {
  const { outcome, load } = store.answer.value!
  const hand = store.byHand.value
  const conflict = outcome === 'conflict' && !hand
  const there = useRef(false)
  // While a hand moves a lever it neither comes nor goes: the rulers beside it would move under the hand.
  if (!hand) there.current = conflict || load !== null
  if (!there.current) return null
  if (conflict || !load)
    return (
      <div class="setting" style={roomOf(lettersOf('none', ''))}>
        <h2>to load</h2>
        <p class="large">none</p>
        <p class="about">
          {conflict
            ? 'There is nothing to load until the targets can be met together.'
            : 'There is nothing to load where a target is not met.'}
        </p>
      </div>
    )
  return (
    <div class="setting" style={roomOf(lettersOf(load.number, load.unit))}>
      <h2>to load</h2>
      <p class="large">
        {shown(load.number)} <small>{load.unit}</small>
      </p>
      <p class="held">{shown(load.words)}</p>
    </div>
  )
}
