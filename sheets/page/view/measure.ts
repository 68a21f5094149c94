import type { RefObject } from 'preact'
import { useEffect, useState } from 'preact/hooks'

/** What is no farther from the window than this may be in sight at once. */
const NEARLY = '80px 0px'

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

/** Tells whether an element can be seen, or nearly so, as that changes. */
export function useSight(ref: RefObject<Element | null>, tell: (seen: boolean) => void): void {
  useEffect(() => {
    const element = ref.current
    if (!element) return
    const watch = new IntersectionObserver(entries => tell(entries.at(-1)!.isIntersecting), { rootMargin: NEARLY })
    watch.observe(element)
    return () => {
      watch.disconnect()
      // What is not there yet is drawn when it comes.
      tell(true)
    }
  }, [ref])
}

/** The narrow hand of a drawing, for numbers and units, as CSS. */
export const LETTERS =
  '"Bahnschrift SemiCondensed", "Avenir Next Condensed", "Roboto Condensed", "Liberation Sans Narrow", "Arial Narrow", sans-serif'

/** Numbers of a scale stand at least so far apart [px]. */
const BETWEEN = 6

/** Which of the numbers of a scale are told so that none runs into the next: each, or every second, third... of them, the shortest. */
export function apart(numbers: readonly { readonly x: number; readonly words: string }[]): readonly boolean[] {
  const half = numbers.map(({ words }) => textWidth(words, `400 14px ${LETTERS}`) / 2)
  for (let every = 1; every < numbers.length; every++) {
    const picks = Array.from({ length: every }, (_, first) => numbers.map((_, k) => k % every === first))
    const clear = picks.filter(pick => {
      const told = numbers.flatMap(({ x }, k) => (pick[k] ? [{ from: x - half[k]!, to: x + half[k]! }] : []))
      return told.every(({ from }, k) => k === 0 || from - told[k - 1]!.to >= BETWEEN)
    })
    const letters = (pick: readonly boolean[]): number =>
      numbers.reduce((sum, { words }, k) => sum + (pick[k] ? words.length : 0), 0) / pick.filter(Boolean).length
    const best = clear.reduce<readonly boolean[] | null>(
      (shortest, pick) => (shortest && letters(shortest) <= letters(pick) ? shortest : pick),
      null,
    )
    if (best) return best
  }
  return numbers.map((_, k) => k === 0)
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
