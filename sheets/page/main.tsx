import { effect } from '@preact/signals'
import { render } from 'preact'
import heron from '../examples/heron.loft?raw'
import { CAUTIONS } from '../report/cautions.ts'
import { type FilesBeside, filesFrom, takenIn } from './files-beside.ts'
import { answerAlways } from './state/asking.ts'
import { opened } from './state/draft.ts'
import { type Draft, same } from './state/history.ts'
import { keepAlways, restore } from './state/kept.ts'
import type { Linked } from './state/link.ts'
import * as store from './state/store.ts'
import { App } from './view/app.tsx'
import { takeDropped } from './view/dropping.ts'
import { staySteady } from './view/steady.ts'
import { makeWorker } from './worker/make.ts'

/** The sheet in the page's link; what unpacks it comes only where there is one. */
async function linked(): Promise<Linked | null> {
  return location.hash.startsWith('#sheet=') ? (await import('./state/link.ts')).linkedOf(location.hash) : null
}

/** The sheet that the page was written around, and the files it came with. */
function inside(): { readonly draft: Draft; readonly name: string; readonly files: FilesBeside } | null {
  const element = document.getElementById('sheet-inside')
  if (!element) return null
  const { name, text, files } = JSON.parse(element.textContent ?? '{}') as {
    readonly name: string
    readonly text: string
    readonly files?: unknown
  }
  return { draft: opened(text), name, files: filesFrom(files) }
}

/** Files that came with a sheet take their names; what was here under them is kept under others, and said. */
function takeIn(sent: FilesBeside): void {
  const { files, moved } = takenIn(store.files.value, sent)
  store.files.value = files
  store.note.value = moved
    .map(([name, to]) =>
      to === null
        ? `A file ${name} came with the sheet, and there was no room to keep yours.`
        : `A file ${name} came with the sheet; yours is kept as ${to}.`,
    )
    .join(' ')
}

/** What the page begins with: a sheet in its link, the one it was written around, the one kept here, or the Heron. */
async function begin(): Promise<void> {
  const restored = await restore()
  const link = await linked()
  store.linked.value = link?.draft ?? null
  const sent = link ? { ...link, name: 'linked.loft' } : inside()
  if (sent) {
    store.begin(sent.draft, sent.name)
    takeIn(sent.files)
    // What was at work here last is not lost by opening a link or a lesson.
    if (restored && !same(restored.draft, opened(heron)) && !same(restored.draft, sent.draft)) {
      store.setAside(restored.draft, restored.file)
      store.note.value = `${store.note.value} What you had here before is kept among the drafts.`.trim()
    }
  } else if (restored) {
    store.begin(restored.draft, restored.file)
    if (restored.draft.text !== heron) {
      const time = new Date(restored.time).toLocaleTimeString(undefined, { hour: '2-digit', minute: '2-digit' })
      store.note.value = `Brought back from ${time}, before the browser closed.`
    }
  } else store.begin(opened(heron), 'heron.loft')
}

await begin()
effect(() => {
  document.documentElement.dataset.theme = store.theme.value
})
effect(() => {
  document.documentElement.toggleAttribute('data-hand', store.moving.value !== null)
})
render(<App cautions={CAUTIONS} />, document.body)
answerAlways(makeWorker)
staySteady()
takeDropped()
keepAlways()
addEventListener('hashchange', async () => {
  const link = await linked()
  if (!link) return
  store.linked.value = link.draft
  store.openAnother(link.draft)
  takeIn(link.files)
})
