import type { FactView } from '../spoken.ts'
import * as store from '../state/store.ts'

/** What is known, to be written over in place; one gesture makes a fact a lever. */
export function Facts() {
  const facts = store.facts.value
  if (!facts || facts.length === 0) return null
  return (
    <section aria-labelledby="facts" class={store.stale.value ? 'stale' : ''}>
      <h2 id="facts">Facts</h2>
      <p class="hint">write over a value to change it</p>
      {facts.map(fact => (
        <Fact key={fact.name} fact={fact} />
      ))}
    </section>
  )
}

function Fact({ fact }: { readonly fact: FactView }) {
  const { name, written, lever, description } = fact
  /** The fact where it stands by then: the text may have changed meanwhile. */
  const now = (): FactView | undefined => store.answer.value?.facts.find(each => each.name === name)
  const write = (value: string): void => {
    const words = value.trim()
    if (words === '' || words === written) return
    store.whenPlaced(() => store.writeAt(now()?.at, words, name))
  }
  const makeLever = (): void =>
    store.whenPlaced(() => {
      const place = now()
      if (place?.lever) store.writeAt(place.whole, place.lever, name)
    })
  return (
    <div class="fact">
      <label for={`fact ${name}`} title={description ?? undefined}>
        {name}
      </label>
      <input
        id={`fact ${name}`}
        // What is written elsewhere (in the text, by undo) shows here too.
        key={written}
        defaultValue={written}
        spellcheck={false}
        onBlur={event => write(event.currentTarget.value)}
        onKeyDown={event => {
          if (event.key === 'Enter') write(event.currentTarget.value)
          if (event.key === 'Escape') event.currentTarget.value = written
        }}
      />
      <button
        type="button"
        class="foot"
        aria-disabled={lever === null}
        onClick={makeLever}
        title={lever ?? 'only a number other than zero can be made a lever'}
      >
        make it a lever<span class="unseen">: {name}</span>
      </button>
    </div>
  )
}
