import process from 'node:process'
import { STATUS, type Status } from './shell.ts'

/** Whether a run was asked to stop, and by what. */
export interface Stop {
  signal: NodeJS.Signals | null
  readonly done: () => void
}

/** Hears the first Ctrl-C, a scheduler's request to end or the terminal's going away, and lets what is under way be finished; a second one ends at once. */
export function watchSignals(hear: () => void = () => {}): Stop {
  const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const
  const done = (): void => {
    for (const signal of signals) process.removeListener(signal, heard)
  }
  const stop: Stop = { signal: null, done }
  const heard = (signal: NodeJS.Signals): void => {
    stop.signal = signal
    done()
    hear()
  }
  for (const signal of signals) process.on(signal, heard)
  return stop
}

/** Ends the process by the signal that stopped it, as whoever sent it expects. */
export function endedBy(signal: NodeJS.Signals): Status {
  process.kill(process.pid, signal)
  return STATUS.unsure
}
