import { batch, computed, signal } from '@preact/signals'
import type { FilesBeside } from '../files-beside.ts'
import type {
  AnswerView,
  ComparedDraft,
  FlightView,
  MapShown,
  VariantRowView,
  VariantsView,
  WhyView,
  WorkingView,
} from '../spoken.ts'
import { begun, changed, type Draft, type History, redone, same, undone } from './history.ts'
import { forgetLevers } from './left-levers.ts'
import { type Pins, pinned, samePins, without } from './pins.ts'

/** A kept alternative of the sheet. */
export interface KeptDraft extends Draft {
  readonly name: string
}

/** Something under way, so that the page tells of it. */
export interface Progress {
  readonly since: number
  readonly flights: number
}

/** What a hand is moving at the moment. */
export interface Moving {
  readonly what: 'limit' | 'lever' | 'map'
  readonly name: string
}

const history = signal<History>(begun({ text: '', lineEnd: '\n', pins: {} }))

export const draft = computed(() => history.value.now)
export const canUndo = computed(() => history.value.past.length > 0)
export const canRedo = computed(() => history.value.future.length > 0)

export const answer = signal<AnswerView | null>(null)
// Parts of the answer that most answers leave as they are: who reads them is not drawn anew by the others.
export const stale = computed(() => answer.value?.stale === true)
/** What has to be mended before the sheet can be solved as it stands: the first of it. */
export const wrong = computed(() => {
  const now = answer.value
  if (!now || !(now.stale || now.outcome === 'faulty')) return null
  return now.problems.find(({ severity }) => severity === 'error') ?? null
})
const NO_LINES: readonly number[] = []
/** All lines that have to be mended, while the numbers on show are from before. */
export const linesWrong = computed(() => {
  if (!stale.value) return NO_LINES
  return answer.value!.problems.filter(({ severity }) => severity === 'error').map(({ line }) => line)
})
export const title = computed(() => answer.value?.title ?? '')
export const facts = computed(() => answer.value?.facts ?? null)
export const filesNamed = computed(() => (answer.value?.files.length ?? 0) > 0)
export const varies = computed(() => answer.value?.varies ?? null)
/** The text that the answer on show is of. */
export const answered = signal('')
/** The text in which the places of facts and limits on show are told: an earlier one while the sheet needs mending. */
export const placedIn = signal('')
export const why = signal<WhyView | null>(null)
/** What explained an answer of this design last. */
const whyBefore = signal<WhyView | null>(null)
export function explain(view: WhyView | null): void {
  batch(() => {
    why.value = view
    whyBefore.value = view
  })
}
/** What explains the answer or, while that is looked for, the one before it: in pencil, so that nothing comes and goes. */
export const whyShown = computed(() => why.value ?? whyBefore.value)
/** What it says by the name of a lever or the text of a target: no more than its own, as a sheet may call a lever "constructor". */
export function explained(what: 'held' | 'prices', name: string): string | null {
  const all = whyShown.value?.[what] ?? {}
  return Object.hasOwn(all, name) ? all[name]! : null
}
/** Whether that is of an answer from before. */
export const whyOld = computed(() => why.value === null || moving.value !== null)
export const flight = signal<FlightView | null>(null)
export const map = signal<MapShown | null>(null)
/** The working on show: of which design, of which target by its place, and whether it was told anew unasked. */
export interface WorkingShown extends WorkingView {
  readonly of: Draft
  readonly target: number | null
  readonly again: boolean
}
export const working = signal<WorkingShown | null>(null)
/** Whether the design is another one by now. */
export const workingOld = computed(() => working.value !== null && !same(working.value.of, draft.value))
/** Variants as far as they have come, all rows of them; whether they are under way; whether they are of the sheet as it stood before. */
export interface VariantsSoFar extends VariantsView {
  readonly all: readonly VariantRowView[]
}
export const variants = signal<VariantsSoFar | null>(null)
export const varying = signal(false)
export const variantsOld = signal(false)
/** What varies along the picture of the variants and up it, where somebody chose. */
export const axes = signal<{ readonly across: string | null; readonly up: string | null }>({ across: null, up: null })
/** Which of several flights is on show; null for the first. */
export const flightName = signal<string | null>(null)
/** Files that the sheet's tables and variants may name, by name. */
export const files = signal<FilesBeside>({})
/** The flight card: its style and its body. */
export const card = signal<{ readonly style: string; readonly body: string } | null>(null)
export const drafts = signal<readonly KeptDraft[]>([])
/** Drafts set side by side. */
export const compared = signal<readonly ComparedDraft[]>([])
/** What was set side by side: the sheet as it stood, and the drafts there were. */
export const comparedOf = signal<readonly Draft[]>([])
export const comparedOld = computed(() => {
  const now = [draft.value, ...drafts.value]
  const then = comparedOf.value
  return now.length !== then.length || now.some((each, k) => !same(each, then[k]!))
})
/** Levers as a hand holds them while it moves, in place of the draft's pins. */
export const held = signal<Pins | null>(null)
/** The same as it is shown: with the answer of that place where it comes soon, so that both are drawn at once; else before it. */
export const heldShown = signal<Pins | null>(null)
/** Two frames of most screens [ms]. */
const SOON = 33
let due: ReturnType<typeof setTimeout> | undefined
export function showHeld(): void {
  clearTimeout(due)
  due = undefined
  heldShown.value = held.peek()
  const act = shownWith
  shownWith = null
  act?.()
}
let shownWith: (() => void) | null = null
/** Shows something of a hand's own place then as well; of several such the newest. Null: nothing any more. */
export function showWith(act: (() => void) | null): void {
  shownWith = act
}
/** How wide the page's pictures may be [px]. */
export const width = signal(1240)
export const moving = signal<Moving | null>(null)
/** The same, and on until the sheet is answered without the hand: until then the answer on show is of where the hand was, and no conflict. */
export const hand = signal<Moving | null>(null)
/** Whether the settings on show are a hand's own, and no compromise. */
export const byHand = computed(() => hand.value !== null && hand.value.what !== 'limit')
/** Which of the larger parts are in sight: a hand that moves is followed by those alone, the others follow when it is still. */
export const sight = signal({ map: true, flight: true, figures: true })
export function see(part: keyof typeof sight.value, seen: boolean): void {
  if (sight.peek()[part] !== seen) sight.value = { ...sight.peek(), [part]: seen }
}
let figured: AnswerView | null = null
/** The answer that the figures tell: where nobody sees them it stays the one from before while a hand moves. */
export const answerOfFigures = computed(() => {
  if (moving.value === null || sight.value.figures || figured === null) figured = answer.value
  return figured
})
export const progress = signal<Progress | null>(null)
export const stopped = signal(false)
export const fault = signal<string | null>(null)
export const fileName = signal('heron.loft')
/** "kept in this browser", "saved to heron.loft". */
export const kept = signal('')
export const theme = signal<'system' | 'paper' | 'slate'>('system')
export const units = signal<'sheet' | 'SI' | 'customary'>('sheet')
export const firstRun = signal(true)

/** A hand moves something, and holds the levers so where it holds any: one change, so that it is asked for once. */
export function hold(what: Moving, set: Pins | null = null): void {
  batch(() => {
    // What stays as it is (the hand is on its way to the next step of a lever) is neither drawn nor asked for anew.
    if (moving.value?.what !== what.what || moving.value.name !== what.name) {
      moving.value = what
      hand.value = what
    }
    if (set && held.value && samePins(set, held.value)) return
    held.value = set
    due ??= setTimeout(showHeld, SOON)
  })
}

/** The hand lets go, and leaves the design as `change` does. */
export function release(change: () => void = () => {}): void {
  batch(() => {
    held.value = null
    moving.value = null
    showHeld()
    change()
  })
}

/** Every change to the design goes through here, so that there is one history. */
export function change(next: Draft, tag: string | null = null): void {
  const before = history.value
  history.value = changed(before, next, tag, Date.now())
  // What there was to tell was of the sheet as it stood.
  if (history.value !== before) note.value = ''
}

export function changeText(text: string, tag: string | null = null): void {
  change({ ...draft.value, text }, tag)
}

/** Goes on with another design, such as a draft that was kept. */
export function takeUp({ text, lineEnd, pins }: Draft): void {
  change({ text, lineEnd, pins })
}

/** Goes on with another sheet: of what was told of the one before nothing holds. */
export function openAnother(sheet: Draft): void {
  another.value = sheet.text !== draft.value.text
  takeUp(sheet)
  explain(null)
  forgetLevers()
}

export function undo(): void {
  history.value = undone(history.value)
}

export function redo(): void {
  history.value = redone(history.value)
}

/** The sheet is another one: of what was told of the last nothing is left where this one cannot be solved. */
export const another = signal(false)

export function begin(first: Draft, name: string): void {
  history.value = begun(first)
  explain(null)
  fileName.value = name
}

export function pin(name: string, si: number, tag: string | null = null): void {
  change({ ...draft.value, pins: pinned(draft.value.pins, name, si) }, tag)
}

export function letGo(name: string): void {
  change({ ...draft.value, pins: without(draft.value.pins, name) })
}

/** Keeps the design as it stands among the drafts, before something risky. */
export function keepDraft(name: string): void {
  setAside(draft.value, name)
}

/** Puts a design among the drafts, where it is not there yet. */
export function setAside({ text, lineEnd, pins }: Draft, name: string): void {
  const design = { text, lineEnd, pins }
  if (drafts.value.some(each => same(each, design))) return
  drafts.value = [...drafts.value, { name, ...design }]
}

/** Changes the text in a way that is announced as risky: a draft is kept first. */
export function changeBoldly(text: string, name: string): void {
  keepDraft(name)
  changeText(text)
}

/** Another window of this browser has kept a newer copy. */
export const elsewhere = signal(false)
/** The sheet that the page's address carries, as it was sent or copied; null where it carries none. */
export const linked = signal<Draft | null>(null)
/** "Brought back from 14:02, before the browser closed." */
export const note = signal('')
