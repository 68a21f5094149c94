import * as whole from '../../node_modules/fast-check/lib/fast-check.js'

export * from '../../node_modules/fast-check/lib/fast-check.js'

const CASES = 20

/** Stands in for fast-check while mutants are tried: few cases and always the same ones, since each property is run some hundred times over. */
function assert(property: whole.IRawProperty<unknown>, parameters?: whole.Parameters<unknown>): Promise<void> | void {
  const numRuns = Math.min(CASES, parameters?.numRuns ?? CASES)
  return whole.assert(property, { ...parameters, seed: 1, numRuns })
}

export default { ...whole, assert }
