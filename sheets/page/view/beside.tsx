import { useRef } from 'preact/hooks'
import { keyOf, lastPart } from '../files-beside.ts'
import { dropFile, keepFile } from '../state/files.ts'
import * as store from '../state/store.ts'

/** The files that the sheet's tables and variants name, and those that the page keeps: what is missing can be chosen here. */
export function FilesBeside() {
  const kept = Object.keys(store.files.value)
  const named = store.answer.value?.files ?? []
  const unnamed = kept.filter(name => !named.some(each => each.name === name || lastPart(each.name) === name))
  if (named.length === 0 && unnamed.length === 0) return null
  return (
    <section aria-labelledby="files">
      <h2 id="files">Files beside the sheet</h2>
      <p class="hint">
        kept in this browser, and sent nowhere but in a link you make; drop a newer one on the page to put it in place
      </p>
      <ul class="drafts">
        {named.map(({ name, here }) => (
          <Named key={name} name={name} here={here} />
        ))}
        {unnamed.map(name => (
          <li key={name}>
            <span class="lettering">{name}: not named by this sheet</span>
            <TakeOut name={name} />
          </li>
        ))}
      </ul>
    </section>
  )
}

function Named({ name, here }: { readonly name: string; readonly here: boolean }) {
  const chooser = useRef<HTMLInputElement>(null)
  const key = keyOf(store.files.value, name)
  return (
    <li>
      <span class={here ? 'lettering' : 'lettering missing'}>{here ? `${name}: here` : `${name}: not here yet`}</span>
      <button type="button" class={here ? 'foot' : 'frame'} onClick={() => chooser.current?.click()}>
        {here ? 'Choose another' : 'Choose it'}
        <span class="unseen">: {name}</span>
      </button>
      <input
        ref={chooser}
        type="file"
        accept=".csv,text/csv,text/plain"
        hidden
        aria-label={`the file ${name}`}
        onChange={event => {
          const file = event.currentTarget.files?.[0]
          event.currentTarget.value = ''
          if (file) void keepFile(file, name)
        }}
      />
      {here && key !== null && <TakeOut name={key} />}
    </li>
  )
}

function TakeOut({ name }: { readonly name: string }) {
  return (
    <button type="button" class="foot" onClick={() => dropFile(name)}>
      Take it out<span class="unseen">: {name}</span>
    </button>
  )
}
