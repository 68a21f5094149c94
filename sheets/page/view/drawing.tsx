import { useLayoutEffect, useRef } from 'preact/hooks'

/**
 * A picture drawn by the worker. It is read as SVG and put in as nodes, never as HTML, so that nothing of a sheet's own words can be
 * markup here; pictures escape them besides.
 */
export function Drawing({ svg, label }: { readonly svg: string; readonly label: string }) {
  const box = useRef<HTMLDivElement>(null)
  useLayoutEffect(() => {
    const { documentElement } = new DOMParser().parseFromString(svg, 'image/svg+xml')
    if (documentElement.nodeName !== 'svg') return
    documentElement.removeAttribute('width')
    documentElement.removeAttribute('height')
    documentElement.setAttribute('aria-label', label)
    const shown = box.current!.firstElementChild
    if (shown) renew(shown, documentElement)
    else box.current!.replaceChildren(document.importNode(documentElement, true))
  }, [svg, label])
  return <div class="drawing" ref={box} />
}

/** Makes the picture on show the fresh one; what is built alike stays, and only what differs is written: a drag redraws little of it. */
function renew(shown: Element, fresh: Element): void {
  renewAttributes(shown, fresh)
  const [before, after] = [[...shown.childNodes], [...fresh.childNodes]]
  after.forEach((node, k) => {
    const old = before[k]
    if (!old) shown.append(document.importNode(node, true))
    else if (alike(old, node)) follow(old, node)
    else old.replaceWith(document.importNode(node, true))
  })
  for (const left of before.slice(after.length)) left.remove()
}

function alike(a: Node, b: Node): boolean {
  if (a.nodeName !== b.nodeName || a.childNodes.length !== b.childNodes.length) return false
  for (let k = 0; k < a.childNodes.length; k++) if (!alike(a.childNodes[k]!, b.childNodes[k]!)) return false
  return true
}

function follow(shown: Node, fresh: Node): void {
  if (shown instanceof Element && fresh instanceof Element) {
    renewAttributes(shown, fresh)
    for (let k = 0; k < shown.childNodes.length; k++) follow(shown.childNodes[k]!, fresh.childNodes[k]!)
  } else if (shown.nodeValue !== fresh.nodeValue) shown.nodeValue = fresh.nodeValue
}

function renewAttributes(shown: Element, fresh: Element): void {
  for (const { name, value } of fresh.attributes)
    if (shown.getAttribute(name) !== value) shown.setAttribute(name, value)
  if (shown.attributes.length > fresh.attributes.length)
    for (const name of shown.getAttributeNames()) if (!fresh.hasAttribute(name)) shown.removeAttribute(name)
}
