/** Gauss and Legendre's three-point rule on 0…1 (Abramowitz & Stegun, table 25.4): places and weights; exact for quintics. */
export const GAUSS: readonly (readonly [place: number, weight: number])[] = [
  [0.5 - Math.sqrt(0.15), 5 / 18],
  [0.5, 8 / 18],
  [0.5 + Math.sqrt(0.15), 5 / 18],
]
