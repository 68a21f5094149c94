import type { FactView } from '../spoken.ts'
import * as store from '../state/store.ts'
import { edited } from '../text/edit.ts'

/** What is known, to be written over in place; one gesture makes a fact a lever. */
export function Facts() {
  const answer = store.answer.value
  if (!answer || answer.facts.length === 0) return null
  return (
    <section aria-labelledby="facts" class={answer.stale ? 'stale' : ''}>
      <h2 id="facts">Facts</h2>
      <p class="hint">write over a value to change it</p>
      {answer.facts.map(fact => (
        <Fact key={fact.name} fact={fact} />
      ))}
    </section>
  )
}

function Fact({ fact }: { readonly fact: FactView }) {
  const { name, written, at, whole, lever, description } = fact
  const write = (value: string): void => {
    const words = value.trim()
    const { text } = store.draft.value
    // The places hold for the text that was answered only.
    if (words !== '' && words !== written && text === store.answered.value)
      store.changeText(edited(text, { at, with: words }))
  }
  const makeLever = (): void => {
    const { text, pins } = store.draft.value
    if (lever && text === store.answered.value) store.change({ text: edited(text, { at: whole, with: lever }), pins })
  }
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
