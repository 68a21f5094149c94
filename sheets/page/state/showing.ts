import type { AnswerSaid, AnswerView, Asking, Said } from '../spoken.ts'
import { sayNow, sayWhenStill } from './aloud.ts'
import { saveBook, savePicture } from './files.ts'
import * as store from './store.ts'

/** Until a first answer has told where things stand. */
const NO_OUTLINE: AnswerView['outline'] = { facts: [], levers: [], targets: [], flights: [], names: [] }

/** Puts on show, or at hand, what the worker said to an asking. */
export function show(said: Said, asking: Asking): void {
  switch (said.kind) {
    case 'answer': {
      store.progress.value = null
      store.fault.value = null
      store.showHeld()
      const { view } = said
      const kept = store.another.value ? null : store.answer.value
      if (view.outcome === 'faulty' && kept && kept.outcome !== 'faulty') {
        // The numbers from before stay, in pencil.
        store.answer.value = {
          ...kept,
          problems: view.problems,
          files: view.files,
          outline: view.outline ?? kept.outline,
          stale: true,
        }
      } else {
        store.answer.value = whole(view, store.answer.value)
        if (store.another.value) forget(view.outcome === 'faulty')
        if (asking.kind === 'sheet') store.placedIn.value = asking.text
      }
      if (asking.kind === 'sheet') {
        store.answered.value = asking.text
        if (!asking.moving) store.hand.value = null
      }
      store.why.value = null
      if (asking.kind === 'sheet' && !asking.moving) sayWhenStill(verdict)
      return
    }
    case 'why':
      store.explain(said.view)
      sayWhenStill(verdict)
      return
    case 'flight':
      store.flight.value = said.view
      return
    case 'map':
      store.map.value = said.drawn
      return
    case 'working':
      if (asking.kind === 'working' && said.view.lines.length > 0) {
        const { text, set, target, again } = asking
        store.working.value = { ...said.view, of: { ...store.draft.value, text, pins: set }, target, again }
      }
      return
    case 'variants': {
      const known = store.variants.value
      if (said.view.waits && known && known.all.length > 0) {
        // Of too many to be solved unasked the rows from before stay, in pencil.
        store.variants.value = { ...known, waits: true, total: said.view.total }
        store.variantsOld.value = true
        return
      }
      const before = said.view.from > 0 ? known : null
      store.variants.value = {
        ...said.view,
        drawn: said.view.drawn ?? before?.drawn ?? null,
        all: [...(before?.all ?? []), ...said.view.rows],
      }
      return
    }
    case 'card':
      store.card.value = { style: said.style, body: said.body }
      return
    case 'tidy':
      store.changeText(said.text)
      return
    case 'setting': {
      const { name, si, words } = said
      if (si !== null) {
        store.pin(name, si)
        store.note.value = words
      }
      if (words !== '') sayNow(words)
      return
    }
    case 'drafts':
      store.compared.value = said.compared
      return
    case 'book':
      void saveBook(said.book, 'sheet')
      return
    case 'picture':
      savePicture(said.svg, 'trade-map')
      return
    case 'progress':
      // The answer before it may have ended what was told: a fast hand asks anew meanwhile.
      store.progress.value = { since: store.progress.value?.since ?? performance.now(), flights: said.flights }
      return
    case 'done':
      if (asking.kind === 'variants') store.varying.value = false
      return
    case 'fault':
      store.progress.value = null
      store.varying.value = false
      store.fault.value = said.message
      return
  }
}

/** Of another sheet the pictures come with its answer, where it has one. */
function forget(faulty: boolean): void {
  store.another.value = false
  store.working.value = null
  if (!faulty) return
  store.map.value = null
  store.flight.value = null
  store.card.value = null
}

/** An answer with what it does not say anew from the one before. */
function whole(said: AnswerSaid, before: AnswerView | null): AnswerView {
  return {
    ...said,
    facts: asBefore(before?.facts ?? null, said.facts),
    figures: said.figures ?? before?.figures ?? [],
    figuresOld: said.figures === null,
    outline: said.outline ?? before?.outline ?? NO_OUTLINE,
  }
}

/** What was there before where the new is the same, so that nobody draws it anew. */
function asBefore<T>(before: T | null, now: T): T {
  return before !== null && JSON.stringify(before) === JSON.stringify(now) ? before : now
}

/** What is said of the sheet as it stands; null where it was written on meanwhile, or a hand has taken hold: the answer to that is said. */
function verdict(): string | null {
  const { answer, answered, draft, hand, why } = store
  if (!answer.value || hand.value !== null || answered.value !== draft.value.text) return null
  const conflict = why.value?.conflict[0]
  const wrong = store.wrong.value
  if (wrong) return `Line ${wrong.line} needs mending: ${wrong.message}`
  if (conflict) return `Conflict: ${conflict.words} ${conflict.targets.join('; ')}.`
  return `${answer.value.verdict} ${answer.value.more}`.trim()
}
