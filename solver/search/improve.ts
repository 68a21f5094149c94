import { goDown, type Hunt, moreStarts, settleFrom } from './hunt.ts'
import { betterThanBest, tunnel } from './tunnel.ts'

/** Many levers go on from further starts until about so many flights were made. */
const MANY = 4
const ENOUGH = 500

/** Looks for better places than the best: by tunnels, and with many levers from further starts. */
export function improve(hunt: Hunt): void {
  const { run, levers } = hunt
  const { samples, frame } = run
  through(hunt, 0)
  const margins = frame.parts.find(part => part.kind === 'margins')
  const tied = frame.parts.some(part => part.kind === 'aim' && frame.exact[part.row] && part.at < (margins?.at ?? 0))
  if (tied && margins) through(hunt, margins.at)
  if (levers.n < MANY) return
  for (let round = 0; round < 6 && samples.count < ENOUGH && !run.spent; round++) {
    moreStarts(hunt, 8)
    goDown(hunt, 2)
    through(hunt, 0)
  }
}

/** Tunnels out of the best at the first level from `from` on that can improve. */
function through(hunt: Hunt, from: number): void {
  const { run, effort } = hunt
  const bounds = betterThanBest(run, from)
  if (!bounds || run.spent) return
  for (const end of tunnel(run, bounds, effort.tunnels, effort.flights)) settleFrom(run, end)
}
