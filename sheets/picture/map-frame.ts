import type { MapAnswer, MapPlace } from '../map-answer.ts'

/** A place on a picture [px]. */
export type Screen = readonly [number, number]

/** Where everything stands on the picture of a trade map [px]. */
export interface MapFrame {
  readonly width: number
  readonly height: number
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
  /** Labels of lines stand from here on. */
  readonly margin: number
  /** Whether labels have room for two lines of words. */
  readonly roomy: boolean
  /** Whether it is a picture of its own, with a title and a foot. */
  readonly whole: boolean
}

const WHOLE: MapFrame = {
  width: 1080,
  height: 880,
  left: 104,
  right: 850,
  top: 174,
  bottom: 760,
  margin: 875,
  roomy: true,
  whole: true,
}
/** Where the detail beside the map of a picture of its own begins, and how wide such a picture is with it [px]. */
export const BESIDE_MAP = 1090
const WIDE = 1580
/** A page narrower than this [px] has room for names only. */
const NARROW = 640
/** No frame is higher than this [px]. */
const HIGHEST = 560

/** The frame of a picture of its own; or of one that is a part of a page, so wide [px]. */
export function mapFrame(part: { readonly width: number } | undefined, detail: boolean): MapFrame {
  if (!part) return detail ? { ...WHOLE, width: WIDE } : WHOLE
  const { width } = part
  const roomy = width >= NARROW
  const left = roomy ? 92 : 46
  const right = width - (roomy ? 210 : 112)
  const top = 40
  const bottom = top + Math.min(HIGHEST, Math.max(220, Math.round(0.78 * (right - left))))
  return {
    width,
    height: bottom + 62,
    left,
    right,
    top,
    bottom,
    margin: right + (roomy ? 24 : 14),
    roomy,
    whole: false,
  }
}

/** From a map's SI values to the picture. */
export function screenOf(
  { ranges }: Pick<MapAnswer, 'ranges'>,
  { left, right, top, bottom }: Pick<MapFrame, 'left' | 'right' | 'top' | 'bottom'>,
): (place: MapPlace) => Screen {
  const [[x0, x1], [y0, y1]] = [ranges.across, ranges.up]
  return ([x, y]) => [left + ((x - x0) / (x1 - x0)) * (right - left), bottom - ((y - y0) / (y1 - y0)) * (bottom - top)]
}
