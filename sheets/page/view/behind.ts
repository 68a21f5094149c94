// What the first answer does not need: it comes behind it, all at once.
export { FilesBeside } from './beside.tsx'
export { Drafts } from './drafts.tsx'
export { Flight } from './flight.tsx'
export { Keys } from './keys.tsx'
export { Sensitivities } from './sensitivities.tsx'
export { TradeMap } from './trade-map.tsx'
export { Typing } from './typing.tsx'
export { Variants } from './variants.tsx'
