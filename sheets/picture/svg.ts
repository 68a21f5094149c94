/** Attributes of an element; those without a value are left out. */
export type Attributes = Readonly<Record<string, string | number | undefined>>

/** An SVG element; `children` are elements already written, never a sheet's own words. */
export function element(name: string, attributes: Attributes, ...children: readonly string[]): string {
  const written = Object.entries(attributes)
    .flatMap(([key, value]) =>
      value === undefined ? [] : [` ${key}="${escaped(typeof value === 'number' ? short(value) : value)}"`],
    )
    .join('')
  return children.length === 0 ? `<${name}${written}/>` : `<${name}${written}>${children.join('')}</${name}>`
}

/** A sheet's own words as text: nothing in them is ever markup, and what XML cannot hold is left out. */
export function escaped(words: string): string {
  return words
    .replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;')
}

/** A coordinate to a hundredth of a pixel, so that pictures are the same bytes everywhere. */
export function short(value: number): string {
  return String(Number(value.toFixed(2)))
}

/** A path through places. */
export function path(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y], k) => `${k === 0 ? 'M' : 'L'}${short(x)} ${short(y)}`).join('')
}
