import { error, outsideAt, type Problem, warning } from '../../grammar/source.ts'
import { type State, start } from '../../solver/index.ts'
import type { Compiled } from './compiled.ts'
import { type LeverRange, leverRange, nearestSetting } from './range.ts'
import { type Settings, settingFor } from './setting.ts'

/** A compiled sheet with some facts and levers set, ready to be solved or evaluated. */
export interface Session {
  readonly compiled: Compiled
  readonly state: State
  /** In the order of `program.levers`; null where the range is faulty. */
  readonly ranges: readonly (LeverRange | null)[]
  readonly problems: readonly Problem[]
}

/** Sets facts and pins levers, and makes the ranges as they are then. What is wrong stands in `problems`. */
export function openSession(compiled: Compiled, set: Settings): Session {
  const state = start(compiled.program)
  const problems: Problem[] = []
  const entries = Object.entries(set)
  const pins: [number, number, string][] = []
  for (const [name, value] of entries) {
    const found = settingFor(compiled, name, value, state, problems)
    if (!found) continue
    if (found.role === 'fact') state.setFact(found.id, found.si)
    else pins.push([found.id, found.si, name])
  }
  state.refresh()
  const ranges = compiled.rangeSlots.map((slots, lever) => rangeAt(compiled, state, slots, lever, problems))
  for (const [id, si, name] of pins) pin(compiled, state, ranges, id, si, name, problems)
  return { compiled, state, ranges, problems }
}

const RANGE_WORDS = {
  'upside down': ['is upside down: it begins above its end.', 'Swap the two ends.'],
  'no width': ['has no width: both ends are the same.', 'Make it a fact, or move one end.'],
  'no step': ['has a step that is not above zero.', 'Write a step above zero, or leave it out.'],
  'too many': ['has over a million steps.', 'Make the step larger, or leave it out.'],
} as const

function rangeAt(
  compiled: Compiled,
  state: State,
  [from, to, step]: readonly [number, number, number],
  lever: number,
  problems: Problem[],
): LeverRange | null {
  const { opened } = compiled.reading
  const info = opened.info[compiled.program.levers[lever]!]!
  const at = (slot: number): number => state.values[slot]!
  const ends = [at(from), at(to), step === -1 ? 1 : at(step)]
  if (!ends.every(Number.isFinite)) {
    problems.push(error(info.span, `The range of "${info.name}" has no finite ends.`, 'Look at the facts it hangs on.'))
    return null
  }
  const last = compiled.ranges.get(lever)
  if (last?.ends.every((end, i) => end === ends[i])) return last.range
  const range = leverRange(info.lever!.written, ends[0]!, ends[1]!, step === -1 ? null : ends[2]!)
  if (typeof range !== 'string') {
    compiled.ranges.set(lever, { ends, range })
    return range
  }
  const [words, mend] = RANGE_WORDS[range]
  problems.push(error(info.span, `The range of "${info.name}" ${words}`, mend))
  return null
}

function pin(
  compiled: Compiled,
  state: State,
  ranges: readonly (LeverRange | null)[],
  id: number,
  si: number,
  name: string,
  problems: Problem[],
): void {
  const lever = ranges[compiled.program.levers.indexOf(id)]
  if (!lever) return
  const { from, to, settings } = lever.range
  const info = compiled.reading.opened.info[id]!
  const { unit } = info.lever!.written
  const asked = outsideAt(info.span)
  const shown = (value: number): string => `${lever.text(value)} ${unit.text}`.trim()
  if (si < from || si > to) {
    problems.push(
      error(
        asked,
        `"${name}" cannot be set to ${shown(si)}: its range is ${shown(from)} to ${shown(to)}.`,
        'Give a value in its range, or widen the range in the sheet.',
      ),
    )
    return
  }
  if (settings && settings[nearestSetting(settings, si)] !== si)
    problems.push(warning(asked, `"${name}" at ${shown(si)} is between its steps.`))
  state.pin(id, si)
}
