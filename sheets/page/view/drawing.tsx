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
    box.current!.replaceChildren(document.importNode(documentElement, true))
  }, [svg, label])
  return <div class="drawing" ref={box} />
}
