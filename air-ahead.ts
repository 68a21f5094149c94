import type { Plugin } from 'vite'
import { type Profile, standardProfile } from './solver/flight/profile.ts'

/** The file whose place is taken. */
const KEPT = '/solver/flight/kept-air.ts'

/** A profile as the text of a module that gives it back, bit for bit, without working it out. */
export function moduleOf({ air, byKilometre, layers }: Profile): string {
  const bytes = ({ buffer, byteOffset, byteLength }: Float64Array | Uint16Array): string =>
    `bytes('${Buffer.from(buffer, byteOffset, byteLength).toString('base64')}')`
  return `import { Buffer } from 'node:buffer'
const bytes = text => Uint8Array.from(Buffer.from(text, 'base64')).buffer
export const keptAir = () => ({
  air: new Float64Array(${bytes(air)}),
  byKilometre: new Uint16Array(${bytes(byKilometre)}),
  layers: ${JSON.stringify(layers)},
})
`
}

/** Lays the standard air out when the command is built, not at each of its starts. */
export const airAhead: Plugin = {
  name: 'air-ahead',
  load(id) {
    return id.endsWith(KEPT) ? moduleOf(standardProfile()) : null
  },
}
