import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate'
import { type FilesBeside, filesFrom } from '../files-beside.ts'
import { draftFrom, written } from './draft.ts'
import type { Draft } from './history.ts'

/** What a link unpacks to at most [bytes], the largest sheet and twice as much of files: more is refused before it fills the memory. */
const MOST = 3_000_000
/** Files go into a link only while it stays so short: what carries letters cuts longer ones off. Common practice, no source. [characters] */
export const MOST_LETTERS = 32_000
const BLOCK = 0x8000

/** A sheet as the fragment of a link, which no browser sends to a server. */
export interface Link {
  readonly fragment: string
  /** Why the files are not in it: how long it would be with them and may be [characters], or that a page would not unpack them; null where they are, or where there are none. */
  readonly without: TooLong | 'unpacked' | null
}

export interface TooLong {
  readonly letters: number
  readonly most: number
}

/** What is in a link. */
export interface Linked {
  readonly draft: Draft
  readonly files: FilesBeside
}

/** A link to a sheet with the files that it names, as long as they are small; else to the sheet alone. */
export function linkTo(draft: Draft, files: FilesBeside): Link {
  const bare = fragmentOf(draft, {})
  if (Object.keys(files).length === 0) return { fragment: bare, without: null }
  const whole = fragmentOf(draft, files)
  if (whole.length > MOST_LETTERS) return { fragment: bare, without: { letters: whole.length, most: MOST_LETTERS } }
  // Much that repeats is short as a link, and yet more than a page unpacks.
  return linkedOf(whole) === null ? { fragment: bare, without: 'unpacked' } : { fragment: whole, without: null }
}

function fragmentOf(draft: Draft, files: FilesBeside): string {
  const named = Object.keys(files).length > 0 ? [files] : []
  const bytes = deflateSync(strToU8(JSON.stringify([written(draft), draft.pins, ...named])), { level: 9 })
  let letters = ''
  for (let at = 0; at < bytes.length; at += BLOCK) letters += String.fromCharCode(...bytes.subarray(at, at + BLOCK))
  return `sheet=${btoa(letters).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')}`
}

/** The sheet of a fragment, and its files; null where it holds none that can be read. */
export function linkedOf(fragment: string): Linked | null {
  const packed = /^#?sheet=([\w-]+)$/.exec(fragment)?.[1]
  if (packed === undefined) return null
  try {
    const letters = atob(packed.replaceAll('-', '+').replaceAll('_', '/'))
    const bytes = Uint8Array.from(letters, letter => letter.charCodeAt(0))
    const out = inflateSync(bytes, { out: new Uint8Array(MOST) })
    const sent: unknown = JSON.parse(strFromU8(out))
    const draft = draftFrom(sent)
    return draft && { draft, files: filesFrom((sent as readonly unknown[])[2]) }
  } catch {
    return null
  }
}
