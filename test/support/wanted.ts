import { compileSheet } from '../../sheets/open/compiled.ts'
import { open } from '../../sheets/open/open.ts'
import { openSession } from '../../sheets/open/session.ts'

/**
 * The figures that a sheet's targets limit, by name in SI, at settings of its levers (by name, SI). Flies only as far as the targets need: `at` would
 * bring thousands of flights down to the ground as well.
 */
export function wantedAt(
  text: string,
): (settings: Readonly<Record<string, number>>) => Readonly<Record<string, number>> {
  const compiled = compileSheet(open(text, null))
  const { state } = openSession(compiled, {})
  const { program } = state
  const { info, targets } = compiled.reading.opened
  const names = [...state.free].map(lever => info[program.levers[lever]!]!.name)
  return settings => {
    const x = Float64Array.from(names, name => settings[name]!)
    state.evaluate(x, { accuracy: 'tight', slopes: false, scope: 'wanted' })
    return Object.fromEntries(
      targets.map((target, t) => [target.written.subject, state.values[program.targets[t]!.value]!]),
    )
  }
}
