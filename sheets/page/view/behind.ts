import { FilesBeside } from './beside.tsx'
import { Card } from './card.tsx'
import { Conflict } from './conflict.tsx'
import { Drafts } from './drafts.tsx'
import { Facts } from './facts.tsx'
import { Figures } from './figures.tsx'
import { Flight } from './flight.tsx'
import { keepFocus } from './keep-focus.ts'
import { keepPlace } from './keep-place.ts'
import { Keys } from './keys.tsx'
import { listenToKeys } from './page-keys.ts'
import { Sensitivities } from './sensitivities.tsx'
import { TradeMap } from './trade-map.tsx'
import { Variants } from './variants.tsx'

// What the first answer does not need: it comes behind it, all at once.
export { copyLink } from './copy-link.ts'
export { Typing } from './typing.tsx'

/** The parts of the page that come later. */
export const PARTS = {
  Card,
  Conflict,
  Drafts,
  Facts,
  Figures,
  FilesBeside,
  Flight,
  Keys,
  Sensitivities,
  TradeMap,
  Variants,
}

/** What listens from then on, when something can be taken away that has the focus, or be taken back. */
export function wakeUp(): void {
  keepFocus()
  keepPlace()
  listenToKeys()
}
