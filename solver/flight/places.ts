import { FLOWN, type FlownName } from './plan.ts'

/** Places of the figures in a flight's output array. */
export const PLACE = Object.fromEntries(FLOWN.map((name, place) => [name, place])) as Record<FlownName, number>
