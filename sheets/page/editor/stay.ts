/**
 * While someone writes, the text stays where it is in the window: each answer makes the parts of the page above it longer or shorter, and a
 * flight or a map that comes would push the line that is written out of sight. Gives what ends it.
 */
export function stayInPlace(editor: HTMLElement): () => void {
  let top = editor.getBoundingClientRect().top
  const look = (): void => {
    top = editor.getBoundingClientRect().top
  }
  // Between layout and painting: nobody sees it move.
  const watch = new ResizeObserver(() => {
    const moved = editor.getBoundingClientRect().top - top
    if (moved !== 0 && document.activeElement === editor) scrollBy({ top: moved, behavior: 'instant' })
    look()
  })
  watch.observe(document.body)
  addEventListener('scroll', look, { passive: true })
  return () => {
    watch.disconnect()
    removeEventListener('scroll', look)
  }
}
