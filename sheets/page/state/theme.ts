import * as store from './store.ts'

/** Whether the page is on slate, by the reader's choice or the system's. */
export function isDark(): boolean {
  const { theme } = store
  return theme.value === 'slate' || (theme.value === 'system' && matchMedia('(prefers-color-scheme: dark)').matches)
}
