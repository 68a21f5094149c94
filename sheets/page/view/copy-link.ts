import { listed } from '../../report/listed.ts'
import { sayNow } from '../state/aloud.ts'
import { namedFiles } from '../state/files.ts'
import type { TooLong } from '../state/link.ts'
import * as store from '../state/store.ts'

/** Puts the sheet, and the files it names where they are small, into a link: in the address line, and at hand to be pasted. */
export async function copyLink(): Promise<void> {
  const { linkTo } = await import('../state/link.ts')
  const files = namedFiles()
  const { fragment, without } = linkTo(store.draft.value, files)
  const address = `${location.href.split('#')[0]}#${fragment}`
  history.replaceState(null, '', address)
  store.linked.value = store.draft.value
  const names = Object.keys(files)
  const inside = names.length > 0 && without === null ? 'the sheet and its files are in it' : 'the sheet is in it'
  store.note.value = without === null ? '' : linkWithout(names, without)
  try {
    await navigator.clipboard.writeText(address)
    store.kept.value = `link copied; ${inside}`
  } catch {
    store.kept.value = `the link stands in the address line; ${inside}`
  }
  sayNow(`${store.kept.value}. ${store.note.value}`)
}

function linkWithout(names: readonly string[], why: TooLong | 'unpacked'): string {
  const many = (count: number): string => count.toLocaleString('en')
  const files = names.length === 1 ? 'the file' : 'the files'
  const reason =
    why === 'unpacked'
      ? `${files} would be too large to be opened again from a link`
      : `the whole would be ${many(why.letters)} characters long, and links of more than ${many(why.most)} are cut off on their way`
  return (
    `The link is without ${listed(names)}: ${reason}. Send ${files} beside it, or all in one file: ` +
    `loftsheet page ${store.fileName.value} --out lesson.html`
  )
}
