/** Attributes of an element; those without a value are left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>

/** An SVG element; `children` are elements already written, never a sheet's own words. */
export function element(name: string, attributes: Attributes, ...children: readonly string[]): string {
  let written = ''
  for (const key in attributes) {
    const value = attributes[key]
    if (value !== undefined) written += ` ${key}="${typeof value === 'number' ? short(value) : escaped(value)}"`
  }
  return children.length === 0 ? `<${name}${written}/>` : `<${name}${written}>${children.join('')}</${name}>`
}

/** A whole picture, a line to each of its marks (one element each): so that a page sees which of them are others than before, and people what differs. */
export function pictureOf(width: number, height: number, title: string, ...marks: readonly string[]): string {
  const opening = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${short(width)}" height="${short(height)}" role="img">`
  return `${[opening, element('title', {}, escaped(title)), ...marks].join('\n')}\n</svg>\n`
}

/** What stands for itself in XML: paths of thousands of signs need no more than this look. */
const PLAIN = /^[ !#-%(-;=?-~]*$/

/** A sheet's own words as text: nothing in them is ever markup, and what XML cannot hold is left out. */
export function escaped(words: string): string {
  if (PLAIN.test(words)) return words
  return words
    .replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;')
}

/** What follows the whole pixels, by hundredths: nothing, ".01" to ".99". */
const HUNDREDTHS = Array.from({ length: 100 }, (_, count) => String(count / 100).slice(1))

/** A coordinate to a hundredth of a pixel, so that pictures are the same bytes everywhere. */
export function short(value: number): string {
  const hundredths = 100 * value
  const rounded = Math.round(hundredths)
  const count = Math.abs(rounded)
  // Near half a hundredth, or too large to be counted in them, a number is rounded with care.
  if (!(Math.abs(hundredths - rounded) < 0.49 && count < 1e9)) return String(Number(value.toFixed(2)))
  // The engine writes whole numbers in a third of the time of others.
  const pixels = Math.trunc(count / 100)
  return `${rounded < 0 ? '-' : ''}${pixels}${HUNDREDTHS[count - 100 * pixels]}`
}

/** A path through places. */
export function path(points: readonly (readonly [number, number])[]): string {
  let drawn = ''
  for (const [x, y] of points) drawn += `${drawn === '' ? 'M' : 'L'}${short(x)} ${short(y)}`
  return drawn
}
