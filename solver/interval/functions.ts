import { type Ends, setEmpty, setWhole } from './arithmetic.ts'
import { wellDown, wellUp } from './rounding.ts'

/** Beyond this an angle says too little about its sine to be worth the care. */
const LARGEST_ANGLE = 1e6

export function exp(out: Ends, al: number, ah: number): Ends {
  out[0] = Math.max(0, wellDown(Math.exp(al)))
  out[1] = wellUp(Math.exp(ah))
  return out
}

/** Of what is above zero; empty where nothing is. */
export function ln(out: Ends, al: number, ah: number): Ends {
  if (ah <= 0) return setEmpty(out)
  out[0] = al <= 0 ? Number.NEGATIVE_INFINITY : wellDown(Math.log(al))
  out[1] = wellUp(Math.log(ah))
  return out
}

export function log10(out: Ends, al: number, ah: number): Ends {
  if (ah <= 0) return setEmpty(out)
  out[0] = al <= 0 ? Number.NEGATIVE_INFINITY : wellDown(Math.log10(al))
  out[1] = wellUp(Math.log10(ah))
  return out
}

/** Whether some `first + k·period` lies from al to ah, doubtful cases counted in. */
export function meets(al: number, ah: number, first: number, period: number): boolean {
  const slack = 1e-9 * (1 + Math.max(Math.abs(al), Math.abs(ah)))
  return Math.floor((ah + slack - first) / period) >= Math.ceil((al - slack - first) / period)
}

export function sin(out: Ends, al: number, ah: number): Ends {
  wave(out, al, ah, Math.sin, Math.PI / 2)
  return out
}

export function cos(out: Ends, al: number, ah: number): Ends {
  wave(out, al, ah, Math.cos, 0)
  return out
}

/** A sine wave that is 1 at `crest`. */
function wave(out: Ends, al: number, ah: number, f: (x: number) => number, crest: number): Ends {
  out[0] = -1
  out[1] = 1
  if (!(Math.abs(al) < LARGEST_ANGLE && Math.abs(ah) < LARGEST_ANGLE)) return out
  const [first, last] = [f(al), f(ah)]
  if (!meets(al, ah, crest + Math.PI, 2 * Math.PI)) out[0] = Math.max(-1, wellDown(Math.min(first, last)))
  if (!meets(al, ah, crest, 2 * Math.PI)) out[1] = Math.min(1, wellUp(Math.max(first, last)))
  return out
}

export function tan(out: Ends, al: number, ah: number): Ends {
  const near = Math.abs(al) < LARGEST_ANGLE && Math.abs(ah) < LARGEST_ANGLE
  if (!near || meets(al, ah, Math.PI / 2, Math.PI)) return setWhole(out)
  out[0] = wellDown(Math.tan(al))
  out[1] = wellUp(Math.tan(ah))
  return out
}

/** Of what lies from −1 to 1; empty where nothing does. */
export function asin(out: Ends, al: number, ah: number): Ends {
  if (ah < -1 || al > 1) return setEmpty(out)
  out[0] = wellDown(Math.asin(Math.max(-1, al)))
  out[1] = wellUp(Math.asin(Math.min(1, ah)))
  return out
}

export function acos(out: Ends, al: number, ah: number): Ends {
  if (ah < -1 || al > 1) return setEmpty(out)
  out[0] = Math.max(0, wellDown(Math.acos(Math.min(1, ah))))
  out[1] = wellUp(Math.acos(Math.max(-1, al)))
  return out
}

export function atan(out: Ends, al: number, ah: number): Ends {
  out[0] = wellDown(Math.atan(al))
  out[1] = wellUp(Math.atan(ah))
  return out
}
