import { effect, untracked } from '@preact/signals'
import type { Asking, Said } from '../spoken.ts'
import { type Desk, openDesk } from './desk.ts'
import { saveBook } from './files.ts'
import * as store from './store.ts'

/** Told in words when the work takes longer than this [ms]. */
export const LONG = 1000

let desk: Desk | null = null

/** Connects the store with a worker: whatever changes the design is answered, whatever is said is put on show. */
export function answerAlways(make: () => Worker): void {
  desk = openDesk(make, hear)
  effect(() => {
    const { text, pins } = store.draft.value
    const set = store.held.value ?? pins
    const moving = store.moving.value !== null
    const width = store.width.value
    const units = store.units.value
    untracked(() => ask({ kind: 'sheet', text, set, moving, width, units }))
  })
}

export function ask(asking: Asking): void {
  state('busy')
  if (asking.kind === 'sheet') {
    store.stopped.value = false
    store.progress.value ??= { since: performance.now(), flights: 0 }
  }
  desk?.ask(asking)
}

/** Asks for the working of a quantity, or of a target by its text. */
export function askWorking(name: string): void {
  const { text, pins } = store.draft.value
  ask({ kind: 'working', text, set: pins, name })
}

export function askVariants(): void {
  store.variants.value = null
  const { text, pins } = store.draft.value
  ask({ kind: 'variants', text, set: pins })
}

/** Asks for the solved sheet as a spreadsheet, which is then saved. */
export function askBook(): void {
  const { text, pins } = store.draft.value
  ask({ kind: 'book', text, set: pins })
}

/** Sets the sheet as it stands beside all its drafts. */
export function askDrafts(): void {
  const { text, pins } = store.draft.value
  ask({ kind: 'drafts', drafts: [{ name: 'as it stands', text, pins }, ...store.drafts.value] })
}

/** Stops what is under way; what was found so far stays on show. */
export function stop(): void {
  desk?.stop()
  store.progress.value = null
  store.stopped.value = true
}

/** Asks once more for what failed. */
export function again(): void {
  store.fault.value = null
  const { text, pins } = store.draft.value
  ask({ kind: 'sheet', text, set: pins, moving: false, width: store.width.value, units: store.units.value })
}

/** Whether anything is still being worked out: for whoever looks at the page from outside. */
function state(now: 'busy' | 'still'): void {
  document.documentElement.dataset.state = now
}

function hear(said: Said, asking: Asking): void {
  switch (said.kind) {
    case 'answer': {
      store.progress.value = null
      store.fault.value = null
      const { view } = said
      if (view.outcome === 'faulty' && store.answer.value && store.answer.value.outcome !== 'faulty') {
        // The numbers from before stay, in pencil.
        store.answer.value = { ...store.answer.value, problems: view.problems, outline: view.outline, stale: true }
      } else store.answer.value = view
      if (asking.kind === 'sheet') store.answered.value = asking.text
      store.placed()
      if (asking.kind === 'sheet' && !asking.moving) {
        store.why.value = null
        speak()
      }
      return
    }
    case 'why':
      store.why.value = said.view
      speak()
      return
    case 'flight':
      store.flight.value = said.view
      return
    case 'map':
      store.map.value = said.drawn
      return
    case 'working':
      store.working.value = said.view
      return
    case 'variants':
      store.variants.value = store.variants.value
        ? { ...said.view, rows: [...store.variants.value.rows, ...said.view.rows] }
        : said.view
      return
    case 'card':
      store.card.value = { style: said.style, body: said.body }
      return
    case 'tidy':
      store.changeText(said.text)
      return
    case 'drafts':
      store.compared.value = said.compared
      return
    case 'book':
      void saveBook(said.book, 'sheet')
      return
    case 'progress':
      if (store.progress.value) store.progress.value = { ...store.progress.value, flights: said.flights }
      return
    case 'done':
      if (!desk?.busy()) state('still')
      return
    case 'fault':
      store.progress.value = null
      store.fault.value = said.message
      if (!desk?.busy()) state('still')
      return
  }
}

/** Says the verdict once, when the hand is still. */
function speak(): void {
  const { answer, why } = store
  if (!answer.value) return
  const conflict = why.value?.conflict[0]
  const { verdict, more } = answer.value
  store.spoken.value = conflict
    ? `Conflict: ${conflict.words} ${conflict.targets.join('; ')}.`
    : `${verdict} ${more}`.trim()
}
