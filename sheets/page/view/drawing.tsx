import { useLayoutEffect, useRef } from 'preact/hooks'
import { inReadersSigns } from './numbers.ts'

/**
 * A picture drawn by the worker, a line to each of its marks. It is read as SVG and put in as nodes, never as HTML, so that nothing of a sheet's
 * own words can be markup here; pictures escape them besides. Of a picture that follows another only the marks that differ are read.
 */
export function Drawing({ svg, label }: { readonly svg: string; readonly label: string }) {
  const box = useRef<HTMLDivElement>(null)
  const before = useRef<readonly string[]>([])
  useLayoutEffect(() => {
    const lines = svg.trimEnd().split('\n')
    const shown = box.current!.firstElementChild
    if (!(shown && lines[0] === before.current[0] && follow(shown, marksOf(before.current), marksOf(lines)))) {
      const { documentElement } = read(svg)
      if (documentElement.nodeName !== 'svg') return
      documentElement.removeAttribute('width')
      documentElement.removeAttribute('height')
      box.current!.replaceChildren(document.importNode(documentElement, true))
    }
    box.current!.firstElementChild!.setAttribute('aria-label', label)
    before.current = lines
  }, [svg, label])
  return <div class="drawing" ref={box} />
}

function read(svg: string): Document {
  const picture = new DOMParser().parseFromString(svg, 'image/svg+xml')
  inReadersSigns(picture, 'text')
  return picture
}

/** The lines between those of the picture itself. */
function marksOf(lines: readonly string[]): readonly string[] {
  return lines.slice(1, -1)
}

/** Makes a picture on show the fresh one: what has not changed stays as it is, what is built alike is written over. False where the lines are no marks. */
function follow(shown: Element, old: readonly string[], fresh: readonly string[]): boolean {
  const elements = [...shown.children]
  if (elements.length !== old.length) return false
  const most = Math.min(old.length, fresh.length)
  let first = 0
  while (first < most && old[first] === fresh[first]) first++
  let last = 0
  while (last < most - first && old.at(-1 - last) === fresh.at(-1 - last)) last++
  const behind = elements[old.length - last] ?? null
  const pairs = fresh.slice(first, fresh.length - last).map((mark, k) => {
    const known = first + k < old.length - last
    return { mark, was: known ? old[first + k]! : null, element: known ? elements[first + k]! : null }
  })
  const changed = pairs.filter(({ mark, was }) => mark !== was)
  const made = [
    ...read(`<svg xmlns="http://www.w3.org/2000/svg">${changed.map(({ mark }) => mark).join('')}</svg>`).documentElement
      .children,
  ]
  if (made.length !== changed.length) return false
  changed.forEach(({ element }, k) => {
    const mark = made[k]!
    if (element === null) shown.insertBefore(document.importNode(mark, true), behind)
    else if (alike(element, mark)) writeOver(element, mark)
    else element.replaceWith(document.importNode(mark, true))
  })
  for (const left of elements.slice(first + pairs.length, old.length - last)) left.remove()
  return true
}

function alike(a: Node, b: Node): boolean {
  if (a.nodeName !== b.nodeName || a.childNodes.length !== b.childNodes.length) return false
  for (let k = 0; k < a.childNodes.length; k++) if (!alike(a.childNodes[k]!, b.childNodes[k]!)) return false
  return true
}

function writeOver(shown: Node, fresh: Node): void {
  if (shown instanceof Element && fresh instanceof Element) {
    writeAttributes(shown, fresh)
    for (let k = 0; k < shown.childNodes.length; k++) writeOver(shown.childNodes[k]!, fresh.childNodes[k]!)
  } else if (shown.nodeValue !== fresh.nodeValue) shown.nodeValue = fresh.nodeValue
}

function writeAttributes(shown: Element, fresh: Element): void {
  for (const { name, value } of fresh.attributes)
    if (shown.getAttribute(name) !== value) shown.setAttribute(name, value)
  if (shown.attributes.length > fresh.attributes.length)
    for (const name of shown.getAttributeNames()) if (!fresh.hasAttribute(name)) shown.removeAttribute(name)
}
