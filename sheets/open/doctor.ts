import type { Problem } from '../../grammar/source.ts'
import { foresee, prove } from '../../solver/index.ts'
import { degreeProblems } from './doctor-degrees.ts'
import { clash, idleLevers, uselessEnds } from './doctor-ranges.ts'
import { targetProblems } from './doctor-targets.ts'
import { unread, unreadProblem } from './doctor-use.ts'
import type { Session } from './session.ts'

/** What an examination of a sound sheet finds, without a search and without a flight. */
export interface Examined {
  readonly warnings: readonly Problem[]
  readonly remarks: readonly Problem[]
  /** Facts, figures, tables and bodies that nothing else reads, by name. */
  readonly leftOver: readonly string[]
}

/** Looks a sheet over: what is of no use, and what intervals and linear reasoning say of its targets before any flight. */
export function examine(session: Session): Examined {
  const { state, compiled } = session
  const { reading } = compiled
  const { targets } = reading.opened
  const ranges = [...state.free].map(lever => session.ranges[lever]!.range)
  const foresight = foresee(state, ranges)
  const idle = unread(reading)
  const possible = state.program.targets.flatMap(({ level }, t) =>
    level === 'must' && foresight.verdicts[t] !== 'never' ? [t] : [],
  )
  const proof = prove(state, ranges, possible)
  const told = proof.contradiction !== null || possible.length < musts(session)
  const problems = [
    ...idle.map(declared => unreadProblem(declared, reading.scope)),
    ...idleLevers(session, reading.scope),
    ...degreeProblems(reading),
    ...targetProblems(session, foresight, [...proof.widths]),
    ...clash(proof, targets),
    // Where nothing can be met, no part of a range is any worse than the rest.
    ...(told ? [] : uselessEnds(session, foresight, proof)),
  ].sort((a, b) => a.line - b.line || a.column - b.column)
  return {
    warnings: problems.filter(problem => problem.severity === 'warning'),
    remarks: problems.filter(problem => problem.severity === 'remark'),
    leftOver: idle.map(declared => declared.name.text),
  }
}

function musts({ state }: Session): number {
  return state.program.targets.filter(target => target.level === 'must').length
}
