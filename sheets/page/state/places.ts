import type { Stretch } from '../../outline.ts'
import { edited, followed } from '../text/edit.ts'
import { sayNow } from './aloud.ts'
import * as store from './store.ts'

/** A place on show that a hand has written over, and where what it wrote stands in the text that came of it. */
interface WrittenOver {
  readonly placedIn: string
  readonly at: Stretch
  readonly text: string
  readonly now: Stretch
}
/** What needs mending gives no new places: without these nobody could mend it where it was written. */
let writtenOver: readonly WrittenOver[] = []
/** Where in the text as it stands a place on show is by now; null where something else has been written over it, but by `writeAt`. */
export function placeNow(at: Stretch): Stretch | null {
  const [before, { text }] = [store.placedIn.peek(), store.draft.peek()]
  const own = writtenOver.find(each => each.placedIn === before && sameStretch(each.at, at))
  return (own ? followed(own.now, own.text, text) : null) ?? followed(at, before, text)
}
/** The line on which a place on show stands by now. */
export function lineNow(at: Stretch): number | null {
  const now = placeNow(at)
  return now && store.draft.peek().text.slice(0, now[0]).split('\n').length
}
function sameStretch(a: Stretch, b: Stretch): boolean {
  return a[0] === b[0] && a[1] === b[1]
}

/** Writes what was typed at a place on show, wherever it stands by now; where the text has been changed there meanwhile, nothing is written, and that is said. */
export function writeAt(at: Stretch | undefined, words: string, what: string): void {
  const now = at && placeNow(at)
  if (!now) {
    store.note.value = `The text was changed meanwhile where ${what} stood: what was typed is not written there.`
    sayNow(store.note.value)
    return
  }
  store.changeText(edited(store.draft.value.text, { at: now, with: words }))
  const before = store.placedIn.peek()
  writtenOver = [
    ...writtenOver.filter(each => each.placedIn === before && !sameStretch(each.at, at)),
    { placedIn: before, at, text: store.draft.value.text, now: [now[0], now[0] + words.length] },
  ]
}

const waiting: { readonly tag: string | null; readonly act: () => void }[] = []

/**
 * Does what needs to know where things stand in the text as soon as that is known: at once, or when the worker has answered. Of what waits
 * under one tag only the newest is done. Under a hand that moves nothing is done: it would be written over by the next move.
 */
export function whenPlaced(act: () => void, tag: string | null = null): void {
  const before = tag === null ? -1 : waiting.findIndex(each => each.tag === tag)
  if (before === -1) waiting.push({ tag, act })
  else waiting[before] = { tag, act }
  placed()
}

/** The places of the text are known now: does what waited for them, one after the other, as most change the text. */
export function placed(): void {
  while (waiting.length > 0 && known()) waiting.shift()!.act()
}

/** A hand that lets go is answered once more: what waited is done then. */
function known(): boolean {
  return store.answered.value === store.draft.value.text && store.moving.value === null
}
