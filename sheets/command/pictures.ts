import { resolve } from 'node:path'
import { THEMES, type Theme } from '../picture/theme.ts'
import { listed } from '../report/listed.ts'
import { Refusal, type Shell } from './shell.ts'
import { writeWhole } from './writing.ts'

/** The kind of file that a name ends in, one of those that a verb writes. */
export function pictureKind<K extends string>(out: string, kinds: readonly K[], verb: string): K {
  const kind = /\.([a-z]+)$/i.exec(out)?.[1]?.toLowerCase()
  const found = kinds.find(each => each === kind)
  if (found !== undefined) return found
  const names = kinds.map(each => `.${each}`)
  throw new Refusal(`"${out}" is not a kind of file that ${verb} writes; name one that ends in ${listed(names, 'or')}.`)
}

/** The ground of a picture by its name, `picture` the file that it is written to. */
export function themeOf(name: string | undefined, picture: string | undefined): Theme {
  if (name !== undefined && !isPicture(picture))
    throw new Refusal('--theme is the ground of a picture, and none is asked for: name its file, .svg or .png.')
  const theme = Object.entries(THEMES).find(([each]) => each === (name ?? 'paper'))?.[1]
  if (!theme) throw new Refusal(`"--theme ${name}" is neither paper nor slate.`)
  return theme
}

/** Whether a file's name is that of a picture. */
export function isPicture(out: string | undefined): out is string {
  return out !== undefined && /\.(svg|png)$/i.test(out)
}

/** Writes a picture as the kind that its file's name ends in; PNG at twice its size, for print and for screens with fine points. */
export async function writePicture(svg: string, out: string, shell: Shell): Promise<void> {
  const place = resolve(shell.folder, out)
  if (/\.png$/i.test(out)) writeWhole(place, out, (await import('./png.ts')).pngOf(svg, 2))
  else writeWhole(place, out, svg)
}
