import type { BuiltInBody } from '../../solver/index.ts'
import { listed } from '../report/listed.ts'

/** The bodies that no sheet has to describe, by their names in a sheet. */
export const BUILT_IN_BODIES: ReadonlyMap<string, BuiltInBody> = new Map([
  ['Earth', 'earth'],
  ['Moon', 'moon'],
  ['Mars', 'mars'],
])

/** "Earth, Moon and Mars". */
export function builtInBodies(): string {
  return listed([...BUILT_IN_BODIES.keys()])
}
