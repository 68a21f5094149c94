/** What has the focus, or had it until it went from the page; and the parts of the page around it. */
let last: { readonly element: Element; readonly around: readonly Element[] } | null = null

/**
 * Never leaves the focus nowhere: who goes by keys would have to begin anew at the head of the page. Where what had it is gone (a mend that was
 * done, a fact that is a lever now), what it names as its heir takes it, else the part of the page it stood in, else the verdict.
 */
export function keepFocus(): void {
  addEventListener('focusin', event => {
    const element = event.target as Element
    last = { element, around: [...ancestors(element)] }
  })
  new MutationObserver(() => {
    if (!last || last.element.isConnected) return
    const { element, around } = last
    last = null
    // A hand or a key has taken it elsewhere meanwhile.
    if (document.activeElement !== document.body) return
    const part = around.find(each => each.isConnected && each.matches('section')) ?? document.querySelector('.verdict')
    take(heirOf(element) ?? part?.querySelector('h2') ?? part)
  }).observe(document.body, { childList: true, subtree: true })
}

function heirOf(element: Element): Element | null {
  const name = element.getAttribute('data-heir')
  return (
    [...document.querySelectorAll('[role="slider"]')].find(each => each.getAttribute('aria-label') === name) ?? null
  )
}

/** The page stays where it is scrolled to; a heading takes the focus for once. */
function take(element: Element | null | undefined): void {
  if (!(element instanceof HTMLElement || element instanceof SVGElement)) return
  if (!element.hasAttribute('tabindex')) element.setAttribute('tabindex', '-1')
  element.focus({ preventScroll: true })
}

function* ancestors(element: Element): Generator<Element> {
  for (let each = element.parentElement; each; each = each.parentElement) yield each
}
