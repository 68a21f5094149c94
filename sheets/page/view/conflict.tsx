import { useRef } from 'preact/hooks'
import { pinnedWords } from '../../report/pinned-words.ts'
import type { LeverView, MendView, WhyView } from '../spoken.ts'
import { whenPlaced } from '../state/places.ts'
import * as store from '../state/store.ts'
import { type Edit, edited } from '../text/edit.ts'
import { mendEdits } from '../text/mend.ts'
import { Glyph } from './glyph.tsx'
import { shown } from './numbers.ts'

/** Which targets cannot be met together, and what would mend it: each a button. */
export function Conflict() {
  const answer = store.answer.value
  const moving = store.hand.value !== null
  const there = useRef(false)
  // While a hand moves, nothing may push the page about under it: what was there stays in pencil, and nothing comes.
  if (!moving) there.current = answer?.outcome === 'conflict'
  if (!there.current) return null
  const old = moving || answer?.stale === true
  const sets = (old ? store.whyShown.value : store.why.value)?.conflict ?? []
  const last = store.drafts.value.at(-1)
  const pinned = old ? [] : (answer?.levers.filter(lever => lever.pinned) ?? [])
  return (
    <section class={old ? 'conflict stale' : 'conflict'} aria-labelledby="conflict">
      <div class="row conflicthead">
        <h2 id="conflict" class="short" tabindex={-1}>
          <Glyph state="short" /> Conflict
        </h2>
        {pinned.length > 0 && <Pinned levers={pinned} />}
        {sets.length === 0 && <p class="hint">looking for which targets stand against each other</p>}
      </div>
      {sets.map((set, place) => (
        <ConflictSet key={place} set={set} first={place === 0} old={old} />
      ))}
      {last && (
        <p class="hint">
          A draft of the sheet as it stands is kept before a mend.{' '}
          {last.text !== store.draft.value.text && (
            <button type="button" class="foot" onClick={() => store.takeUp(last)}>
              Go back to {last.name}
            </button>
          )}
        </p>
      )}
    </section>
  )
}

/** What a hand has set, with a way to let go of each. */
function Pinned({ levers }: { readonly levers: readonly LeverView[] }) {
  const words = pinnedWords(levers.map(({ name, number, unit }) => [name, `${number} ${unit.text}`.trim()]))
  return (
    <p class="hint">
      {shown(words)}
      {levers.map(({ name }) => (
        <button key={name} type="button" class="foot apart" onClick={() => store.letGo(name)}>
          Let go of {name}
        </button>
      ))}
    </p>
  )
}

function ConflictSet({
  set,
  first,
  old,
}: {
  readonly set: WhyView['conflict'][number]
  readonly first: boolean
  readonly old: boolean
}) {
  return (
    <div class="set">
      <div class="these">
        <h3>{first ? set.words : set.words.replace(/\.$/, ' either.')}</h3>
        <ul>
          {[...set.targets, ...set.ranges].map(text => (
            <li key={text}>{shown(text)}</li>
          ))}
        </ul>
        <p class="hint">{shown(set.evidence)}</p>
      </div>
      {set.mends.length > 0 && (
        <div class="mends">
          <h3>
            {set.targets.length === 1
              ? 'Change it by no less than this:'
              : 'Change one of them, by no more than this, and the rest are met:'}
          </h3>
          <ol>
            {set.mends.map(mend => (
              <Mend key={mend.text} mend={mend} old={old} />
            ))}
          </ol>
        </div>
      )}
    </div>
  )
}

function Mend({ mend, old }: { readonly mend: MendView; readonly old: boolean }) {
  const edits = (): readonly Edit[] => {
    const target = store.answer.value!.outline.targets.find(each => each.text === mend.target && each.level === 'must')
    return target ? mendEdits(target, mend.text) : []
  }
  // In pencil it stays, whatever the limit has become under the hand.
  const offered = useRef(false)
  offered.current = edits().length > 0 || (old && offered.current)
  const apply = (): void =>
    whenPlaced(() => {
      const now = edits()
      if (now.length > 0) store.changeBoldly(edited(store.draft.value.text, ...now), mend.target)
    })
  return (
    <li>
      <div>
        <p class="mend">{shown(mend.text)}</p>
        <p class="hint">
          {shown(mend.change)}
          {mend.leaves === '' ? '' : `; ${shown(mend.leaves)}`}
        </p>
      </div>
      {offered.current && (
        <button type="button" class="frame" aria-disabled={old} onClick={old ? undefined : apply}>
          Do this<span class="unseen">: {mend.text}</span>
        </button>
      )}
    </li>
  )
}
