import { Resvg } from '@resvg/resvg-js'
import { LETTERING, WORDS } from '../picture/theme.ts'
import { Refusal } from './shell.ts'

/** A name that no font has. */
const NOBODY = 'no font of this name'

/**
 * An SVG picture as PNG, `scale` times its size. The renderer knows no lists of fonts, so the first of each list that this machine has
 * is written in its place; without any font there is no picture.
 */
export function pngOf(svg: string, scale = 1): Uint8Array {
  const widthIn = (family: string): number => {
    const probe = `<svg xmlns="http://www.w3.org/2000/svg" width="900" height="60"><text x="5" y="40" font-size="30" font-family="${family}">Heron 100.1 km, gauge</text></svg>`
    return new Resvg(probe, { font: { loadSystemFonts: true } }).getBBox()?.width ?? 0
  }
  const usual = widthIn(NOBODY)
  if (usual === 0)
    throw new Refusal(
      'This machine has no fonts to write a PNG with. Install some (Debian: fonts-dejavu-core), or write .svg instead.',
    )
  const found = (list: string): string =>
    list
      .split(', ')
      .map(name => name.replaceAll('"', ''))
      .find(name => Math.abs(widthIn(name) - usual) > 0.01) ?? NOBODY
  const named = svg.replaceAll(quoted(WORDS), found(WORDS)).replaceAll(quoted(LETTERING), found(LETTERING))
  return new Resvg(named, { fitTo: { mode: 'zoom', value: scale }, font: { loadSystemFonts: true } }).render().asPng()
}

/** A list of fonts as it stands in an attribute. */
function quoted(list: string): string {
  return list.replaceAll('"', '&quot;')
}
