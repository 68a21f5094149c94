import { useLayoutEffect, useState } from 'preact/hooks'
import { listed } from '../../report/listed.ts'
import type { AnswerView } from '../spoken.ts'
import { again, LONG, stop } from '../state/asking.ts'
import { takeElsewhere } from '../state/kept.ts'
import * as store from '../state/store.ts'
import { useBehind } from './later.tsx'
import { shown } from './numbers.ts'

/** The answer in a sentence, or what the page is doing about it. */
export function Verdict() {
  const answer = store.answer.value
  const { fault, stopped, elsewhere, note, wrong } = store
  const hand = store.hand.value
  useBehind(answer !== null)
  return (
    <section class="verdict" aria-label="verdict">
      {fault.value !== null && (
        <p class="trouble" role="alert">
          <b>Something of ours went wrong. Your sheet is kept; nothing is lost.</b>{' '}
          <button type="button" class="frame" onClick={again}>
            Try again
          </button>
        </p>
      )}
      {elsewhere.value && (
        <p class="trouble" role="alert">
          Another window holds a newer copy of this sheet.{' '}
          <button type="button" class="foot" onClick={() => void takeElsewhere()}>
            Take it
          </button>{' '}
          <button
            type="button"
            class="foot"
            onClick={() => {
              store.keepDraft('this window’s copy')
              elsewhere.value = false
            }}
          >
            Keep both
          </button>
        </p>
      )}
      {note.value !== '' && <p class="hint">{shown(note.value)}</p>}
      {stopped.value && <p>Stopped. These are the numbers from before it.</p>}
      {wrong.value && (
        <p class="trouble">
          Line {wrong.value.line} needs mending{answer?.stale ? '; these are the numbers from before it' : ''}.
        </p>
      )}
      {answer && hand && answer.outcome === 'conflict' && <p class="sentence">{shown(underHand(answer, hand))}</p>}
      {answer && answer.outcome !== 'conflict' && answer.outcome !== 'faulty' && (
        <div class="row">
          <p class="sentence">
            <b>{shown(answer.verdict)}</b> {shown(answer.more)}
          </p>
          <p class="hint lettering">{shown(answer.work)}</p>
        </div>
      )}
      <Working />
    </section>
  )
}

/** What is short where a hand holds the levers, or a limit, at this moment. */
function underHand({ targets, verdict }: AnswerView, { what }: store.Moving): string {
  if (what === 'limit') return verdict
  const short = [...new Set(targets.filter(({ state }) => state === 'short').map(({ subject }) => subject))]
  return `At these settings ${listed(short)} ${short.length === 1 ? 'is' : 'are'} short.`
}

/** Told only when it takes long. */
function Working() {
  const { progress } = store
  const [late, setLate] = useState(false)
  const since = progress.value?.since ?? null
  // At once, not behind the next frame: it would ask for a frame at each move of a hand, and again at each answer.
  useLayoutEffect(() => {
    setLate(false)
    if (since === null) return
    const timer = setTimeout(() => setLate(true), LONG)
    return () => clearTimeout(timer)
  }, [since])
  if (since === null || !late) return null
  const flights = progress.value!.flights
  return (
    <p class="row">
      <span>{flights > 0 ? `searching, ${flights} flights so far` : 'working it out'}</span>
      <button type="button" class="frame" onClick={stop}>
        Stop
      </button>
    </p>
  )
}
