import { effect } from '@preact/signals'
import { get, set } from 'idb-keyval'
import { draftFrom, written } from './draft.ts'
import { type Draft, same } from './history.ts'
import * as store from './store.ts'

const KEY = 'loftsheet'
/** A change is kept when the hand has been still so long [ms]. */
const STILL = 150

/** What the browser keeps: names and texts only, read back with care since older versions may have written it. */
interface Kept {
  readonly draft: unknown
  readonly file: string
  readonly drafts: unknown
  readonly files: unknown
  readonly theme: unknown
  readonly units: unknown
  readonly firstRun: unknown
  readonly time: number
  readonly stamp: string
}

export interface Restored {
  readonly draft: Draft
  readonly file: string
  readonly time: number
}

/** Which window wrote last, so that two of them do not overwrite each other unseen. */
const STAMP = String(performance.timeOrigin + performance.now())

/** What was kept when the browser was last here; null where nothing was or the store cannot be read. */
export async function restore(): Promise<Restored | null> {
  try {
    const kept = await get<Kept>(KEY)
    if (!kept) return null
    const draft = draftFrom(kept.draft)
    if (Array.isArray(kept.drafts)) store.drafts.value = kept.drafts.flatMap(keptDraft)
    if (Array.isArray(kept.files)) store.files.value = Object.fromEntries(kept.files.flatMap(keptFile))
    if (kept.theme === 'paper' || kept.theme === 'slate') store.theme.value = kept.theme
    if (kept.units === 'SI' || kept.units === 'customary') store.units.value = kept.units
    if (kept.firstRun === false) store.firstRun.value = false
    return draft ? { draft, file: String(kept.file), time: Number(kept.time) } : null
  } catch {
    return null
  }
}

function keptDraft(each: unknown): store.KeptDraft[] {
  if (!Array.isArray(each)) return []
  const draft = draftFrom(each.slice(1))
  return draft ? [{ name: String(each[0]), ...draft }] : []
}

/** A file kept beside the sheet: its name and its text. */
function keptFile(each: unknown): [string, string][] {
  if (!Array.isArray(each)) return []
  const [name, text]: readonly unknown[] = each
  return typeof name === 'string' && typeof text === 'string' ? [[name, text]] : []
}

/** Keeps every change in the browser's own store; another window's newer copy is asked about, never overwritten. */
export function keepAlways(): void {
  let timer: ReturnType<typeof setTimeout> | undefined
  const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(KEY)
  if (channel)
    channel.onmessage = ({ data }: MessageEvent<unknown>) => {
      if (data !== STAMP) store.elsewhere.value = true
    }
  effect(() => {
    const draft = store.draft.value
    const kept: Kept = {
      draft: [written(draft), draft.pins],
      file: store.fileName.value,
      drafts: store.drafts.value.map(each => [each.name, written(each), each.pins]),
      files: Object.entries(store.files.value),
      theme: store.theme.value,
      units: store.units.value,
      firstRun: store.firstRun.value,
      time: Date.now(),
      stamp: STAMP,
    }
    if (store.elsewhere.value) return
    clearTimeout(timer)
    timer = setTimeout(() => {
      set(KEY, kept).then(
        () => {
          store.kept.value = 'kept in this browser'
          leaveLink(draft)
          channel?.postMessage(STAMP)
        },
        () => {
          store.kept.value = "not kept: the browser's store is full or closed"
        },
      )
    }, STILL)
  })
}

/** Once the sheet is another than the address says, and kept, the address lets go of it: a reload brings back what was at work here. */
function leaveLink(now: Draft): void {
  const { linked } = store
  if (!linked.value || same(linked.value, now)) return
  linked.value = null
  window.history.replaceState(null, '', `${location.pathname}${location.search}`)
}

/** The copy that another window wrote. */
export async function takeElsewhere(): Promise<void> {
  const restored = await restore()
  store.elsewhere.value = false
  if (restored) store.change(restored.draft)
}
