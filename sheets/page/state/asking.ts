import { effect, untracked } from '@preact/signals'
import type { AnswerSaid, AnswerView, Asking, Said } from '../spoken.ts'
import { sayNow, sayWhenStill } from './aloud.ts'
import { type Desk, openDesk } from './desk.ts'
import { saveBook, savePicture } from './files.ts'
import { placed } from './places.ts'
import * as store from './store.ts'
import { isDark } from './theme.ts'

/** Told in words when the work takes longer than this [ms]. */
export const LONG = 1000

/** Until a first answer has told where things stand. */
const NO_OUTLINE: AnswerView['outline'] = { facts: [], levers: [], targets: [], flights: [], names: [] }

/** So many variants are solved without being asked for. */
const FEW = 400

let desk: Desk | null = null
/** The design that the variants under way are of, or those that came last. */
let varied = ''
/** How often the files have changed. */
let filings = 0

/** Connects the store with a worker: whatever changes the design is answered, whatever is said is put on show. */
export function answerAlways(make: () => Worker): void {
  const opened = openDesk(make, hear)
  desk = opened
  effect(() => {
    filings++
    opened.put(store.files.value)
  })
  effect(() => {
    const { text, pins } = store.draft.value
    const set = store.held.value ?? pins
    const moving = store.moving.value === null ? null : { ...store.sight.value, placed: store.answered.peek() === text }
    const width = store.width.value
    const units = store.units.value
    const flight = store.flightName.value
    // Another file makes another sheet of the same text.
    store.files.value
    untracked(() => {
      if (design() !== varied) giveUpVariants()
      ask({ kind: 'sheet', text, set, moving, map: mapOnShow(), width, units, flight })
    })
  })
}

export function ask(asking: Asking): void {
  state('busy')
  if (asking.kind === 'sheet') {
    store.stopped.value = false
    // Of a hand's moves only those are told that take long enough for the worker to say so.
    if (asking.moving === null) store.progress.value ??= { since: performance.now(), flights: 0 }
  }
  desk?.ask(asking)
}

/** Told what became of a value that was typed for a lever. */
let typedAnswered: (refused: string | null) => void = () => {}
/** Pins a lever at a value that was typed for it; `answered` hears why not, or null. */
export function askSetting(name: string, words: string, answered: typeof typedAnswered): void {
  typedAnswered = answered
  ask({ kind: 'setting', text: store.draft.value.text, name, words })
}

/** Asks for the working of a quantity, or of a target by its text and its place among the targets. */
export function askWorking(name: string, target: number | null = null, again = false): void {
  const { text, pins } = store.draft.value
  // A character of the working is about 8.5 px wide, and its edge takes 19.
  const width = Math.min(72, Math.floor(store.width.value / 9))
  ask({ kind: 'working', text, set: pins, name, target, again, width })
}

/** The working on show, told of the sheet as it stands by now. */
function workAgain(): void {
  const { working, answer } = store
  if (!working.value || !store.workingOld.value || store.stale.value) return
  const { target, name } = working.value
  askWorking((target === null ? null : answer.value?.targets[target]?.text) ?? name, target, true)
}

/** What variants hang on: the text, what a hand holds, the files. */
function design(): string {
  const { text, pins } = store.draft.value
  return JSON.stringify([text, store.held.value ?? pins, filings])
}

/** Asks for the variants; those of a sheet that has many are solved when all are asked for. */
export function askVariants(which: 'few' | 'all'): void {
  const { text, pins } = store.draft.value
  varied = design()
  store.varying.value = true
  store.variantsOld.value = false
  const { across, up } = store.axes.value
  const most = which === 'few' ? FEW : null
  ask({ kind: 'variants', text, set: pins, most, across, up, width: store.width.value })
}

/** Another pair of quantities for the picture of the variants. */
export function chooseAxes(across: string | null, up: string | null): void {
  store.axes.value = { across, up }
  askVariants('all')
}

/** Stops the variants; the rows so far stay on show. */
export function stopVariants(): void {
  desk?.halt('variants')
  store.varying.value = false
  if (!desk?.busy()) state('still')
}

/** The sheet is another one by now: its variants are in vain. */
function giveUpVariants(): void {
  desk?.halt('variants')
  store.varying.value = false
  varied = ''
  if (store.variants.value) store.variantsOld.value = true
}

/** Solves the variants of a sheet that has just been answered, where there are not many. */
function varyAfter(asking: Asking): void {
  if (asking.kind !== 'sheet' || asking.moving || design() === varied) return
  if (store.answer.value?.varies && !store.answer.value.stale) askVariants('few')
  else if (!store.answer.value?.varies) store.variants.value = null
}

/** Asks for the solved sheet as a spreadsheet, which is then saved. */
export function askBook(): void {
  const { text, pins } = store.draft.value
  ask({ kind: 'book', text, set: pins })
}

/** Asks for the trade map as a picture by itself, which is then saved. */
export function askMapPicture(): void {
  const { text, pins } = store.draft.value
  ask({ kind: 'picture', text, set: pins, theme: isDark() ? 'slate' : 'paper', file: store.fileName.value })
}

/** Sets the sheet as it stands beside all its drafts. */
export function askDrafts(): void {
  const drafts = [{ name: 'as it stands', ...store.draft.value }, ...store.drafts.value]
  store.comparedOf.value = drafts
  ask({ kind: 'drafts', drafts })
}

/** Stops what is under way; what was found so far stays on show. */
export function stop(): void {
  desk?.stop()
  store.progress.value = null
  store.varying.value = false
  store.stopped.value = true
  state('still')
}

/** Asks once more for what failed. */
export function again(): void {
  store.fault.value = null
  const { text, pins } = store.draft.value
  const [width, units, flight] = [store.width.value, store.units.value, store.flightName.value]
  ask({ kind: 'sheet', text, set: pins, moving: null, map: mapOnShow(), width, units, flight })
}

function mapOnShow(): number | null {
  return store.map.peek()?.stamp ?? null
}

/** How far the page is, for whoever looks at it from outside: an answer on its way, there, or nothing more to come. */
function state(now: 'busy' | 'answered' | 'still'): void {
  document.documentElement.dataset.state = now
}

/** Called before something is told of a sheet: whether of one that a hand is moving. */
export const untold: ((moving: boolean) => void)[] = []

function hear(said: Said, asking: Asking): void {
  if (asking.kind === 'sheet') for (const act of untold) act(asking.moving !== null)
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
        state('answered')
      }
      placed()
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
      typedAnswered(si === null ? words : null)
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
      varyAfter(asking)
      if (asking.kind === 'sheet' && !asking.moving) workAgain()
      if (!desk?.busy()) state('still')
      return
    case 'fault':
      store.progress.value = null
      store.varying.value = false
      store.fault.value = said.message
      if (!desk?.busy()) state('still')
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
