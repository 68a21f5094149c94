import { useLayoutEffect, useRef } from 'preact/hooks'
import type { FactView } from '../spoken.ts'
import { lineNow, whenPlaced, writeAt } from '../state/places.ts'
import * as store from '../state/store.ts'
import { plainly } from './numbers.ts'

/** What is known, to be written over in place; one gesture makes a fact a lever. */
export function Facts() {
  const [facts, stale] = [store.facts.value, store.stale.value]
  if (!facts || facts.length === 0) return null
  return (
    <section aria-labelledby="facts" class={stale ? 'stale' : ''}>
      <h2 id="facts">Facts</h2>
      <p class="hint">write over a value to change it</p>
      {facts.map(fact => (
        <Fact key={fact.name} fact={fact} stale={stale} />
      ))}
    </section>
  )
}

function Fact({ fact, stale }: { readonly fact: FactView; readonly stale: boolean }) {
  const { name, written, lever, description } = fact
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
      if (place?.lever) writeAt(place.whole, place.lever, name)
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
