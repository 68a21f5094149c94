import { computed, signal } from '@preact/signals'
import { sayNow } from './aloud.ts'
import type { Draft } from './history.ts'
import * as store from './store.ts'

/** A draft that was dropped, from which place; which others were left, beside which design. */
interface Dropped {
  readonly draft: store.KeptDraft
  readonly place: number
  readonly left: readonly store.KeptDraft[]
  readonly design: Draft
}

const last = signal<Dropped | null>(null)

/** What was dropped last and can be taken back: until the drafts or the design are changed. Drafts are no part of the history that undo walks. */
const back = computed(() =>
  last.value && last.value.left === store.drafts.value && last.value.design === store.draft.value ? last.value : null,
)

/** What is told of it; null where there is none. */
export const droppedWords = computed(() => back.value && `${back.value.draft.name || 'The draft'} is dropped.`)

export function drop(place: number): void {
  const draft = store.drafts.value[place]
  if (!draft) return
  const left = store.drafts.value.filter((_, k) => k !== place)
  store.drafts.value = left
  last.value = { draft, place, left, design: store.draft.value }
  sayNow(`${droppedWords.value} It can be taken back.`)
}

export function takeBack(): void {
  if (!back.value) return
  const { draft, place, left } = back.value
  store.drafts.value = [...left.slice(0, place), draft, ...left.slice(place)]
  last.value = null
  sayNow(`${draft.name || 'The draft'} is back among the drafts.`)
}
