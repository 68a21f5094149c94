import { signal } from '@preact/signals'

/** Whether the panel of drafts is open, the flight card, and the list of keys. */
export const draftsOpen = signal(false)
export const cardOpen = signal(false)
export const keysOpen = signal(false)
