import { readFileSync } from 'node:fs'

/** Algebra alone, so that many variants cost little. */
export const BARE_TANK = `sheet "A tank"
fact a = 1 kg
lever fill from 10 % to 100 % in steps of 1 %
figure load = fill * a
must load at least 0.5 kg
should fill at most 80 %
aim least load
`

/** The same in many sizes; none meets the must at small a. */
export const TANK = `${BARE_TANK}variants
  each a from 0.1 kg to 4 kg in steps of 0.1 kg
`

/** A family of the Heron, of few variants. */
export const FAMILY = `${readFileSync('sheets/examples/heron.loft', 'utf8')}
variants
  each dry mass from 140 kg to 185 kg in steps of 15 kg
  each drag coefficient over 0.35, 0.42
  each peak g over 5 g0, 6 g0
`
