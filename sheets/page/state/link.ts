import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate'
import { draftFrom } from './draft.ts'
import type { Draft } from './history.ts'

/** Longer than any sheet that is read: a link that unpacks to more is refused before it fills the memory. */
const MOST = 1_100_000
const BLOCK = 0x8000

/** A sheet as the fragment of a link, which no browser sends to a server. */
export function fragmentOf({ text, pins }: Draft): string {
  const bytes = deflateSync(strToU8(JSON.stringify([text, pins])), { level: 9 })
  let letters = ''
  for (let at = 0; at < bytes.length; at += BLOCK) letters += String.fromCharCode(...bytes.subarray(at, at + BLOCK))
  return `sheet=${btoa(letters).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')}`
}

/** The sheet of a fragment; null where it holds none that can be read. */
export function draftOf(fragment: string): Draft | null {
  const packed = /^#?sheet=([\w-]+)$/.exec(fragment)?.[1]
  if (packed === undefined) return null
  try {
    const letters = atob(packed.replaceAll('-', '+').replaceAll('_', '/'))
    const bytes = Uint8Array.from(letters, letter => letter.charCodeAt(0))
    const out = inflateSync(bytes, { out: new Uint8Array(MOST) })
    return draftFrom(JSON.parse(strFromU8(out)))
  } catch {
    return null
  }
}
