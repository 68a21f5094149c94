import { type Frame, figureSlope } from './frame.ts'

/** The figure that a row's y stands for. */
export function figureOf(frame: Frame, row: number, y: number): number {
  const half = frame.half[row]!
  const s = half > 0 ? half * Math.sinh(y) : y
  const figure = frame.figure[row]
  return figure ? figure(s) : s
}

/** The y at which a row's figure is worth `figure`, looked for from a y near it in steps of about `step`. */
export function yAt(frame: Frame, row: number, figure: number, near: number, step: number): number {
  const half = frame.half[row]!
  if (frame.figure[row] === null) return half > 0 ? Math.asinh(figure / half) : figure
  let reach = 2 * Math.abs(step) + 1e-9
  for (let round = 0; round < 60 && figureOf(frame, row, near - reach) > figure; round++) reach *= 2
  for (let round = 0; round < 60 && figureOf(frame, row, near + reach) < figure; round++) reach *= 2
  let [low, high] = [near - reach, near + reach]
  for (let round = 0; round < 80; round++) {
    const middle = (low + high) / 2
    if (figureOf(frame, row, middle) < figure) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** d figure / d y. */
export function slopeByY(frame: Frame, row: number, y: number): number {
  const half = frame.half[row]!
  const s = half > 0 ? half * Math.sinh(y) : y
  return figureSlope(frame.figure[row]!, s) * (half > 0 ? Math.hypot(s, half) : 1)
}
