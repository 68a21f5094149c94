import { parse } from '../../grammar/parse.ts'
import { error, OUTSIDE, outsideAt, type Problem } from '../../grammar/source.ts'
import { type Dimension, describe, same } from '../../grammar/units/dimension.ts'
import { compile, partsOf, type State, start } from '../../solver/index.ts'
import { kindOf } from './caller.ts'
import type { Compiled } from './compiled.ts'
import { unitMend } from './disagree.ts'
import { elaborate } from './expression.ts'
import { didYouMean } from './scope.ts'

/** Values put in the place of facts, and levers pinned: a text as the sheet would write it, or an SI number. */
export type Settings = Readonly<Record<string, string | number>>

/** What is set from outside: which fact or lever, at which value [SI]; null where it cannot be, and `problems` say why. */
export function settingFor(
  compiled: Compiled,
  name: string,
  value: string | number,
  state: State,
  problems: Problem[],
): { role: 'fact' | 'lever'; id: number; si: number } | null {
  const { opened } = compiled.reading
  const key = name.normalize('NFC').trim().replace(/\s+/g, ' ')
  const id = opened.ids.get(key)
  const role = id === undefined ? undefined : opened.model.quantities[id]!.role
  if (id === undefined || role === undefined) {
    problems.push(
      error(
        OUTSIDE,
        `Nothing in the sheet is called "${key}", so it cannot be set.`,
        didYouMean(key, opened.ids.keys()) ?? 'Facts and levers can be set, by the names that the sheet gives them.',
      ),
    )
    return null
  }
  const asked = outsideAt(opened.info[id]!.span)
  if (role !== 'fact' && role !== 'lever') {
    problems.push(
      error(asked, `"${key}" is worked out; only facts and levers can be set.`, 'Set what it is worked out from.'),
    )
    return null
  }
  const of = { name: key, dimension: opened.info[id]!.dimension }
  if (typeof value !== 'number' && typeof value !== 'string') {
    problems.push(error(asked, `"${key}" cannot be set to ${kindOf(value)}.`, ONE_VALUE))
    return null
  }
  const si = typeof value === 'number' ? value : valueOfText(compiled, of, value, state, problems)
  if (si === null) return null
  if (Number.isFinite(si)) return { role, id, si }
  problems.push(
    error(asked, `"${key}" cannot be set to ${value}: that is no finite number.`, 'Give it a finite number.'),
  )
  return null
}

const ONE_VALUE = 'Give a number with its unit, such as 55 % or 180 kg.'

/** The SI value of an expression in the sheet's own terms, for what is called so and has that dimension: the sheet's facts may stand in it. */
export function valueOfText(
  compiled: Compiled,
  { name, dimension: wanted }: { readonly name: string; readonly dimension: Dimension },
  text: string,
  state: State,
  problems: Problem[],
): number | null {
  const { reading } = compiled
  const tree = parse(`fact value = ${text.replace(/[\r\n]+/g, ' ')}`)
  const statement = tree.statements[0]
  const found: Problem[] = [...tree.problems]
  const checked =
    statement?.kind === 'fact' && !statement.error ? elaborate(statement.value, reading.surroundings(found)) : null
  const say = (message: string, mend: string): null => {
    const id = reading.opened.ids.get(name)
    problems.push(error(id === undefined ? OUTSIDE : outsideAt(reading.opened.info[id]!.span), message, mend))
    return null
  }
  if (!checked)
    return say(
      `"${name}" cannot be set to "${text}": ${found[0]?.message ?? 'that is not one value.'}`,
      found[0]?.mend ?? ONE_VALUE,
    )
  if (!same(checked.dimension, wanted))
    return say(`"${name}" is ${describe(wanted)}; "${text}" is ${describe(checked.dimension)}.`, unitMend(wanted))
  if (checked.expr.op === 'const') return checked.expr.value
  const { model } = reading.opened
  const program = compile({ ...model, targets: [], aims: [] }, partsOf(model), [checked.expr])
  const slot = program.extras[0]!
  if (slot >= program.algebra)
    return say(
      `"${name}" can be set to what is known only; "${text}" hangs on a lever.`,
      'Give it by numbers and facts.',
    )
  const alone = start(program)
  state.refresh()
  model.quantities.forEach((quantity, other) => {
    if (quantity.role === 'fact') alone.setFact(other, state.valueOf(other))
  })
  alone.refresh()
  return alone.values[slot]!
}
