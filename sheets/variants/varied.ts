import type { VariantColumn } from './answer.ts'
import { LABEL } from './moved.ts'

/** The places of the columns that vary, for the axes of a picture: words of the writer's own set nothing apart but the rows themselves, and come last. */
export function variedPlaces(columns: readonly VariantColumn[]): readonly number[] {
  const all = columns.flatMap((column, place) => (column.role === 'varied' ? [place] : []))
  const words = (place: number): boolean => columns[place]!.name === LABEL
  return [...all.filter(place => !words(place)), ...all.filter(words)]
}
