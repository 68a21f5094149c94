import process from 'node:process'
import progress from 'cli-progress'
import { counted } from '../report/variants-report.ts'
import { say } from './messages.ts'
import type { Shell } from './shell.ts'

/** How far the work is, told as it goes on. */
export interface Progress {
  readonly at: (done: number) => void
  readonly end: () => void
}

const NONE: Progress = { at: () => {}, end: () => {} }
/** Between plain lines [ms]. */
const PAUSE = 10_000

/** A bar on a terminal, plain lines elsewhere, nothing when quiet. `total` null: not known. `before`: done in an earlier run. */
export function progressOf(shell: Shell, quiet: boolean, total: number | null, before: number): Progress {
  if (quiet) return NONE
  return shell.messages.terminal && total !== null ? bar(shell, total, before) : lines(shell, total, before)
}

function bar(shell: Shell, total: number, before: number): Progress {
  const plain = shell.environment.TERM === 'dumb'
  const begun = performance.now()
  const shown = new progress.SingleBar({
    stream: process.stderr,
    format: '{bar} {percentage} %  {done} of {all}, {rate} a second, {left} left',
    barCompleteChar: plain ? '=' : '━',
    barIncompleteChar: plain ? '-' : '─',
    barsize: 24,
    clearOnComplete: true,
    hideCursor: true,
    gracefulExit: false,
  })
  const told = (done: number) => ({
    done: counted(done),
    all: counted(total),
    ...rateOf(done - before, total - done, begun),
  })
  shown.start(total, before, told(before))
  return { at: done => shown.update(Math.min(done, total), told(done)), end: () => shown.stop() }
}

function rateOf(done: number, left: number, begun: number): { rate: string; left: string } {
  const rate = (1000 * done) / Math.max(1, performance.now() - begun)
  return { rate: counted(Math.round(rate)), left: rate > 0 ? spell(left / rate) : '…' }
}

/** 95 s, 12 min, 3 h 20 min. */
function spell(seconds: number): string {
  if (seconds < 100) return `${Math.max(0, Math.ceil(seconds))} s`
  const minutes = Math.round(seconds / 60)
  return minutes < 100 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`
}

function lines(shell: Shell, total: number | null, before: number): Progress {
  const begun = performance.now()
  let last = begun
  return {
    at: done => {
      if (performance.now() - last < PAUSE) return
      last = performance.now()
      const { rate, left } = rateOf(done - before, (total ?? done) - done, begun)
      const whole = total === null ? 'variants' : `of ${counted(total)} variants`
      say(shell, `${counted(done)} ${whole}, ${rate} a second${total === null ? '' : `, ${left} left`}`)
    },
    end: () => {},
  }
}
