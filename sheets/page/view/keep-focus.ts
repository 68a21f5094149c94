/** What has the focus, or had it until it went from the page; the parts of the page around it; whether keys brought it there. */
let last: { readonly element: Element; readonly around: readonly Element[]; readonly byKeys: boolean } | null = null

/**
 * Never leaves the focus nowhere: who goes by keys would have to begin anew at the head of the page. Where what had it is gone (a mend that was
 * done, a fact that is a lever now), what it names as its heir takes it, else the part of the page it stood in, else the verdict.
 */
export function keepFocus(): void {
  addEventListener('focusin', event => {
    const element = event.target as Element
    last = { element, around: [...ancestors(element)], byKeys: element.matches(':focus-visible') }
  })
  new MutationObserver(() => {
    const gone = last
    if (!gone || gone.element.isConnected) return
    last = null
    // A key that goes on to the next place takes what it leaves from the page on the way there: that place comes first.
    setTimeout(() => {
      if (document.activeElement === document.body) pass(gone)
    })
  }).observe(document.body, { childList: true, subtree: true })
}

function pass({ element, around, byKeys }: NonNullable<typeof last>): void {
  const part = around.find(each => each.isConnected && each.matches('section')) ?? document.querySelector('.verdict')
  const heir = heirOf(element)
  take(heir ?? part?.querySelector('h2') ?? part, byKeys)
  // It may lie far above: what came of the press is what is wanted to be seen.
  heir?.closest('.setting')?.scrollIntoView({ block: 'nearest' })
}

function heirOf(element: Element): Element | null {
  const name = element.getAttribute('data-heir')
  return (
    [...document.querySelectorAll('[role="slider"]')].find(each => each.getAttribute('aria-label') === name) ?? null
  )
}

/** The page stays where it is scrolled to under a hand, but for an heir; who goes by keys has to see where the focus is. A heading takes it for once. */
function take(element: Element | null | undefined, byKeys: boolean): void {
  if (!(element instanceof HTMLElement || element instanceof SVGElement)) return
  if (!element.hasAttribute('tabindex')) element.setAttribute('tabindex', '-1')
  element.focus({ preventScroll: !byKeys })
}

function* ancestors(element: Element): Generator<Element> {
  for (let each = element.parentElement; each; each = each.parentElement) yield each
}
