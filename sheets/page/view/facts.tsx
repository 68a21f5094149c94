import { computed } from '@preact/signals'
import { useLayoutEffect, useRef } from 'preact/hooks'
import type { FactView } from '../spoken.ts'
import { leaveLever, leverLeft } from '../state/left-levers.ts'
import { without } from '../state/pins.ts'
import { lineNow, whenPlaced, writeAt } from '../state/places.ts'
import * as store from '../state/store.ts'
import { edited } from '../text/edit.ts'
import { plainly } from './numbers.ts'

/** The levers by name, as one text: the same while a hand moves them. */
const leverNames = computed(() => (store.answer.value?.levers ?? []).map(({ name }) => name).join('\n'))

/** What is known, to be written over in place; one gesture makes a fact a lever, and a lever a fact. */
export function Facts() {
  const [facts, stale] = [store.facts.value, store.stale.value]
  const levers = leverNames.value.split('\n').filter(name => name !== '')
  if (!facts || facts.length + levers.length === 0) return null
  return (
    <section aria-labelledby="facts" class={stale ? 'stale' : ''}>
      <h2 id="facts">Facts</h2>
      <p class="hint">write over a value to change it</p>
      {facts.map(fact => (
        <Fact key={fact.name} fact={fact} stale={stale} />
      ))}
      {levers.map(name => (
        <Lever key={name} name={name} stale={stale} />
      ))}
    </section>
  )
}

/** A lever stands with the facts as one that it may be: known, at its setting by then. */
function Lever({ name, stale }: { readonly name: string; readonly stale: boolean }) {
  const makeFact = (): void =>
    whenPlaced(() => {
      const { answer } = store
      const setting = answer.value?.levers.find(each => each.name === name)
      const place = answer.value?.outline.levers.find(each => each.name === name)
      // While a line needs mending places are told of an earlier text.
      if (!setting || !place || store.stale.value) return
      const value = `${setting.number} ${setting.unit.text}`.trim().replace('−', '-')
      const draft = store.draft.value
      leaveLever(name, draft.text.slice(...place.whole), setting.unit.text, place.range)
      // A fact is held by nobody.
      store.change({
        ...draft,
        text: edited(draft.text, { at: place.whole, with: `fact ${name} = ${value}` }),
        pins: without(draft.pins, name),
      })
    })
  return (
    <div class="fact">
      <span>{name}</span>
      <span class="lettering">a lever</span>
      <button type="button" class="foot" aria-disabled={stale} onClick={stale ? undefined : makeFact}>
        make it a fact<span class="unseen">: {name}</span>
      </button>
    </div>
  )
}

/** A fact as the lever that it was, or with a range that is offered; null where it can be none. */
function asLever({ name, written, si, lever }: FactView): string | null {
  return leverLeft(name, written, si) ?? lever
}

function Fact({ fact, stale }: { readonly fact: FactView; readonly stale: boolean }) {
  const { name, written, description } = fact
  const lever = asLever(fact)
  const linesWrong = store.linesWrong.value
  /** The fact where it stands by then: the text may have changed meanwhile. */
  const now = (): FactView | undefined => store.answer.value?.facts.find(each => each.name === name)
  const field = useRef<HTMLInputElement>(null)
  /** What the text says as far as this field knows. */
  const said = useRef(written)
  // What is written elsewhere (in the text, by undo) shows here too; what needs mending stays to be mended.
  useLayoutEffect(() => {
    if (stale) return
    said.current = written
    field.current!.value = written
  }, [written, stale])
  const write = (): void => {
    // One that goes from the page with the focus in it is left as well.
    if (!field.current) return
    const words = plainly(field.current.value) || said.current
    field.current.value = words
    if (words === said.current) return
    said.current = words
    whenPlaced(() => writeAt(now()?.at, words, name))
  }
  const makeLever = (): void =>
    whenPlaced(() => {
      const place = now()
      const words = place && asLever(place)
      if (words) writeAt(place.whole, words, name)
    })
  return (
    <div class="fact">
      <label for={`fact ${name}`} title={description ?? undefined}>
        {name}
      </label>
      <input
        ref={field}
        id={`fact ${name}`}
        title={description ?? undefined}
        defaultValue={written}
        aria-invalid={stale && said.current !== written && linesWrong.includes(lineNow(fact.at) ?? 0)}
        spellcheck={false}
        onBlur={write}
        onKeyDown={event => {
          if (event.key === 'Enter') write()
          if (event.key === 'Escape') event.currentTarget.value = said.current
        }}
      />
      <button
        type="button"
        class="foot"
        aria-disabled={lever === null}
        data-heir={name}
        onClick={makeLever}
        title={lever ?? 'only a number other than zero can be made a lever'}
      >
        make it a lever<span class="unseen">: {name}</span>
      </button>
    </div>
  )
}
