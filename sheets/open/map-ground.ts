import type { Expr, State, Target } from '../../solver/index.ts'
import type { Opened } from './opened.ts'

/** What the flights of a map hang on, as one text: the whole model but for limits that are plain numbers, and what is set in its place. */
export function mapGround({ model }: Opened, state: State): string {
  const pins = state.program.levers.map((_, lever) => state.pinned(lever))
  const set = [...state.overrides].flatMap((value, slot) => (Number.isNaN(value) ? [] : [[slot, value]]))
  return JSON.stringify([{ ...model, targets: model.targets.map(withoutLimit) }, pins, set])
}

/** Where one end of a limit is worked out, the other is left in: the row that is flown is then the distance to both. */
function withoutLimit({ level, value, limit }: Target): unknown {
  const ends = Object.values(limit).filter((end: string | Expr | null) => end !== null && typeof end === 'object')
  return [level, value, limit.kind, ends.every(({ op }) => op === 'const') ? ends.length : ends]
}
