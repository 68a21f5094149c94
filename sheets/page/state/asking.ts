import { effect, untracked } from '@preact/signals'
import type { Asking, Said } from '../spoken.ts'
import { type Desk, openDesk } from './desk.ts'
import { placed } from './places.ts'
import { show } from './showing.ts'
import * as store from './store.ts'
import { isDark } from './theme.ts'

/** Told in words when the work takes longer than this [ms]. */
export const LONG = 1000

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
  show(said, asking)
  switch (said.kind) {
    case 'answer':
      if (asking.kind === 'sheet') state('answered')
      placed()
      return
    case 'setting':
      typedAnswered(said.si === null ? said.words : null)
      return
    case 'done':
      varyAfter(asking)
      if (asking.kind === 'sheet' && !asking.moving) workAgain()
      if (!desk?.busy()) state('still')
      return
    case 'fault':
      if (!desk?.busy()) state('still')
      return
  }
}
