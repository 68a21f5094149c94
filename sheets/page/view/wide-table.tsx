import type { ComponentChildren, RefObject } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'

interface WideTableProps {
  readonly label: string
  /** What it tells, said above it. */
  readonly about?: string
  readonly children: ComponentChildren
}

/** A table of numbers in its place: one longer or wider than that is scrolled, by keys as well, and says so. */
export function WideTable({ label, about = '', children }: WideTableProps) {
  const box = useRef<HTMLDivElement>(null)
  const { wide, more } = useOverflow(box)
  const scrolls = wide ? 'wider than its place: scroll the table sideways, or move in it with the arrows' : ''
  return (
    <>
      <p class="hint">{[about, scrolls].filter(words => words !== '').join('; ')}</p>
      <div
        ref={box}
        class={`scroll long${wide ? ' wide' : ''}${more ? ' goeson' : ''}`}
        tabindex={0}
        role="group"
        aria-label={wide ? `${label}, scrolls sideways` : label}
      >
        <table class="numbers">{children}</table>
      </div>
    </>
  )
}

/** Whether what is in an element is wider than it, and whether more of it lies to the right of what is in sight. */
function useOverflow(ref: RefObject<Element | null>): { readonly wide: boolean; readonly more: boolean } {
  const [told, setTold] = useState({ wide: false, more: false })
  useEffect(() => {
    const element = ref.current
    if (!element) return
    const look = (): void => {
      const left = element.scrollWidth - element.clientWidth
      setTold(before => {
        // Widths are rounded.
        const now = { wide: left > 1, more: left - element.scrollLeft > 1 }
        return before.wide === now.wide && before.more === now.more ? before : now
      })
    }
    const watch = new ResizeObserver(look)
    watch.observe(element)
    for (const child of element.children) watch.observe(child)
    element.addEventListener('scroll', look, { passive: true })
    return () => {
      watch.disconnect()
      element.removeEventListener('scroll', look)
    }
  }, [ref])
  return told
}
