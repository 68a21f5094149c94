import type clipping from 'polygon-clipping'

type Cutter = Pick<typeof clipping, 'intersection' | 'union'>

let cutter: Cutter | null = null

/** Gets what cuts the areas of maps, which come behind the first answer. */
export async function fetchCutter(): Promise<void> {
  cutter ??= (await import('polygon-clipping')).default
}

/** This stands in the page's worker for what cuts areas, which has to be there before a map is asked for. */
const standIn: Cutter = {
  intersection: (...areas) => here().intersection(...areas),
  union: (...areas) => here().union(...areas),
}
export default standIn

function here(): Cutter {
  if (!cutter) throw new Error('what cuts areas is not here')
  return cutter
}
