import type { Compiled } from './compiled.ts'
import { openSession } from './session.ts'
import type { Settings } from './setting.ts'

/**
 * Every quantity at the given lever values (SI numbers, or texts as the sheet would write them), SI, by name; NaN where one has no value, Infinity on escape. No search.
 * Throws where the sheet is faulty, a lever is missing or unknown, or a value lies outside its range: a caller's mistake.
 */
export function valuesAt(compiled: Compiled | null, levers: Settings): Record<string, number> {
  if (!compiled) throw new Error('The sheet has errors: see its problems.')
  const { opened } = compiled.reading
  const session = openSession(compiled, levers)
  const fault = session.problems.find(problem => problem.severity === 'error')
  if (fault) throw new RangeError(fault.message)
  const { state, program } = { state: session.state, program: compiled.program }
  if (state.free.length > 0)
    throw new RangeError(
      `No value is given for ${[...state.free].map(lever => `"${opened.info[program.levers[lever]!]!.name}"`).join(', ')}.`,
    )
  state.evaluate(new Float64Array(0), { accuracy: 'tight', slopes: false, scope: 'all' })
  const values: Record<string, number> = {}
  for (const { id, names } of opened.shown) for (const name of names) values[name] = state.valueOf(id)
  return values
}
