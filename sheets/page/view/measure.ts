import type { RefObject } from 'preact'
import { useEffect, useState } from 'preact/hooks'

/** The width of an element as laid out [px], followed as it changes. */
export function useWidth(ref: RefObject<Element | null>, before: number): number {
  const [width, setWidth] = useState(before)
  useEffect(() => {
    const element = ref.current
    if (!element) return
    const watch = new ResizeObserver(([entry]) => {
      const now = Math.round(entry!.contentRect.width)
      if (now > 0) setWidth(now)
    })
    watch.observe(element)
    return () => watch.disconnect()
  }, [ref])
  return width
}

let context: CanvasRenderingContext2D | null = null
const widths = new Map<string, number>()

/** How wide words are on this machine [px]; `font` as in CSS. */
export function textWidth(words: string, font: string): number {
  const key = `${font}|${words}`
  const known = widths.get(key)
  if (known !== undefined) return known
  context ??= document.createElement('canvas').getContext('2d')
  if (!context) return words.length * 8
  context.font = font
  const { width } = context.measureText(words)
  if (widths.size > 4000) widths.clear()
  widths.set(key, width)
  return width
}
