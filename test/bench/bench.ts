import { readFileSync } from 'node:fs'
import { command } from './command.ts'
import { quickAscents } from './flight.ts'
import { generalFlights, stagesStraightUp } from './general.ts'
import { growth } from './growth.ts'
import { inRounds } from './rounds.ts'
import { chains, conflicts, maps, solves, sooner } from './solves.ts'
import { yardsticks } from './yardsticks.ts'

/** `npm run bench [-- --flights | --growth]`. */
const ROUNDS = 12

if (process.argv.includes('--growth')) growth()
else {
  const { bare, optimiser } = yardsticks()
  const flights = [...quickAscents(bare), ...generalFlights(), ...stagesStraightUp()]
  const heron = readFileSync('sheets/examples/heron.loft', 'utf8')
  const rest = () => [
    ...solves(heron),
    ...sooner(heron, optimiser),
    ...conflicts(heron),
    ...maps(heron),
    ...chains(),
    ...command(heron),
  ]
  inRounds(process.argv.includes('--flights') ? flights : [...flights, ...rest()], ROUNDS)
}
