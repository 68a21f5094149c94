import { useRef, useState } from 'preact/hooks'
import type { LimitView, TargetView } from '../spoken.ts'
import { askWorking } from '../state/asking.ts'
import { whenPlaced, writeAt } from '../state/places.ts'
import * as store from '../state/store.ts'
import { Glyph } from './glyph.tsx'
import { useBehind } from './later.tsx'
import { shown } from './numbers.ts'
import { MarginScale } from './scale.tsx'

/** All targets, each a row with its margin scale; then the aims. */
export function Targets() {
  const answer = store.answer.value
  if (!answer || answer.outcome === 'faulty') return null
  const conflict = answer.outcome === 'conflict'
  const mended = conflict && !store.byHand.value
  const involved = new Set(store.whyShown.value?.conflict.flatMap(each => each.targets) ?? [])
  return (
    <section class={answer.stale ? 'stale' : ''} aria-labelledby="targets">
      <h2 id="targets">{mended ? 'Targets at the closest compromise' : 'Targets'}</h2>
      <p class="hint">
        {answer.targets.length === 0
          ? 'Nothing is asked of this flight yet. Add a target to any figure.'
          : 'a mark must stand clear of the hatching; the tabs may be dragged, or pressed to type a limit'}
        {mended && (
          <button type="button" class="foot apart" onClick={() => document.getElementById('conflict')?.focus()}>
            What would mend it
          </button>
        )}
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
  const behind = useBehind(typing !== null)
  const row = useRef<HTMLDivElement>(null)
  const backToTab = (): void => {
    const tabs = row.current!.querySelectorAll<SVGElement>('[data-limit]')
    tabs[target.limits.findIndex(({ end }) => end === typing?.end)]?.focus({ preventScroll: true })
  }
  const write = (words: string, answered: (refused: null) => void): void => {
    const end = typing?.end
    whenPlaced(() => {
      const now = store.answer.value?.targets[place]?.limits.find(each => each.end === end)?.place
      writeAt(now?.at, words, `the limit of ${target.subject}`)
    })
    answered(null)
  }
  const price = store.explained('prices', target.text)
  const sentence = shown(`${target.subject} ${target.value}, ${target.limit}, ${target.words}`)
  const second = price ?? (apart ? 'not part of the conflict' : (target.description ?? ''))
  return (
    <div class="target" ref={row}>
      <div class="what">
        <p class="level">{target.level}</p>
        <h3>
          <button type="button" class="plain" title="read its working" onClick={() => askWorking(target.text, place)}>
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
      {typing && behind && (
        <behind.Typing
          before={typing.words.replace(typing.short, '')}
          label={`limit of ${target.subject}`}
          written={typing.short}
          write={write}
          onLeave={backToTab}
          onDone={() => setTyping(null)}
        />
      )}
    </div>
  )
}
