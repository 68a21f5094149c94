import { effect } from '@preact/signals'
import { render } from 'preact'
import heron from '../examples/heron.loft?raw'
import { CAUTIONS } from '../report/cautions.ts'
import { answerAlways } from './state/asking.ts'
import type { Draft } from './state/history.ts'
import { keepAlways, restore } from './state/kept.ts'
import * as store from './state/store.ts'
import { App } from './view/app.tsx'
import { listen } from './view/hands.ts'
import { makeWorker } from './worker/make.ts'

/** The sheet in the page's link; what unpacks it comes only where there is one. */
async function linkedDraft(): Promise<Draft | null> {
  return location.hash.startsWith('#sheet=') ? (await import('./state/link.ts')).draftOf(location.hash) : null
}

/** What the page begins with: a sheet in its link, the one it was written around, the one kept here, or the Heron. */
async function begin(): Promise<void> {
  const linked = await linkedDraft()
  const inside = document.getElementById('sheet-inside')
  const restored = await restore()
  if (linked) store.begin(linked, 'linked.loft')
  else if (inside) {
    const { name, text } = JSON.parse(inside.textContent ?? '{}') as { readonly name: string; readonly text: string }
    store.begin({ text, pins: {} }, name)
  } else if (restored) {
    store.begin(restored.draft, restored.file)
    if (restored.draft.text !== heron) {
      const time = new Date(restored.time).toLocaleTimeString(undefined, { hour: '2-digit', minute: '2-digit' })
      store.note.value = `Brought back from ${time}, before the browser closed.`
    }
  } else store.begin({ text: heron, pins: {} }, 'heron.loft')
}

await begin()
effect(() => {
  document.documentElement.dataset.theme = store.theme.value
})
render(<App cautions={CAUTIONS} />, document.body)
answerAlways(makeWorker)
listen()
keepAlways()
addEventListener('hashchange', async () => {
  const linked = await linkedDraft()
  if (linked) store.change(linked)
})
