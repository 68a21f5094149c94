import { useState } from 'preact/hooks'
import type { LimitView, TargetView } from '../spoken.ts'
import { askWorking } from '../state/asking.ts'
import * as store from '../state/store.ts'
import { Glyph } from './glyph.tsx'
import { shown } from './numbers.ts'
import { MarginScale } from './scale.tsx'
import { byHand } from './settings.tsx'

/** All targets, each a row with its margin scale; then the aims. */
export function Targets() {
  const answer = store.answer.value
  if (!answer) return null
  const conflict = answer.outcome === 'conflict'
  const involved = new Set(store.whyShown.value?.conflict.flatMap(each => each.targets) ?? [])
  return (
    <section class={answer.stale ? 'stale' : ''} aria-labelledby="targets">
      <h2 id="targets">{conflict && !byHand() ? 'Targets at the closest compromise' : 'Targets'}</h2>
      <p class="hint">
        {answer.targets.length === 0
          ? 'Nothing is asked of this flight yet. Add a target to any figure.'
          : 'a mark must stand clear of the hatching; the tabs may be dragged'}
      </p>
      {answer.targets.map((target, place) => (
        <TargetRow
          // Two targets may read alike; their places do not.
          key={place}
          place={place}
          target={target}
          apart={conflict && involved.size > 0 && !involved.has(target.text)}
        />
      ))}
      {answer.aims.map(({ text, value }) => (
        <div class="target aim" key={text}>
          <div class="what">
            <p class="level">aim</p>
            <h3>{text}</h3>
          </div>
          <p class="lettering">{shown(value)}</p>
        </div>
      ))}
    </section>
  )
}

function TargetRow({
  target,
  place,
  apart,
}: {
  readonly target: TargetView
  readonly place: number
  readonly apart: boolean
}) {
  const [typing, setTyping] = useState<LimitView | null>(null)
  const price = store.explained('prices', target.text)
  const sentence = shown(`${target.subject} ${target.value}, ${target.limit}, ${target.words}`)
  const second = price ?? (apart ? 'not part of the conflict' : (target.description ?? ''))
  return (
    <div class="target">
      <div class="what">
        <p class="level">{target.level}</p>
        <h3>
          <button type="button" class="plain" onClick={() => askWorking(target.text)}>
            {target.subject}
          </button>
          <span class="narrow"> {shown(target.limit)}</span>
        </h3>
      </div>
      <MarginScale target={target} place={place} sentence={sentence} onType={setTyping} />
      <div class="state">
        <Glyph state={target.state} />
        <p class={`verdictword ${target.state === 'at its limit' ? 'limit' : target.state === 'met' ? '' : 'short'}`}>
          {shown(target.share)}
        </p>
        <p class={price && store.whyOld.value ? 'second stale' : 'second'}>{shown(second)}</p>
      </div>
      {typing && <Typing limit={typing} place={place} subject={target.subject} onDone={() => setTyping(null)} />}
    </div>
  )
}

/** A limit written by hand. */
function Typing({
  limit,
  place,
  subject,
  onDone,
}: {
  readonly limit: LimitView
  readonly place: number
  readonly subject: string
  readonly onDone: () => void
}) {
  const write = (value: string): void => {
    const words = value.trim()
    if (words !== '')
      store.whenPlaced(() => {
        const now = store.answer.value?.targets[place]?.limits.find(({ end }) => end === limit.end)?.place
        store.writeAt(now?.at, words, `the limit of ${subject}`)
      })
    onDone()
  }
  return (
    <p class="typing">
      <label>
        {limit.words.replace(limit.short, '')}
        <input
          ref={input => input?.select()}
          value={limit.short}
          aria-label={`limit of ${subject}`}
          onKeyDown={event => {
            if (event.key === 'Enter') write(event.currentTarget.value)
            if (event.key === 'Escape') onDone()
          }}
          onBlur={onDone}
        />
      </label>
    </p>
  )
}
