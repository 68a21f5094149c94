import { type Ends, setEmpty } from './arithmetic.ts'
import { wellDown, wellUp } from './rounding.ts'

/** x^y for x in [al, ah], y in [bl, bh]. A negative base has a value only at whole exponents; zero only at exponents from 0 on. */
export function pow(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  if (bl === bh && Number.isInteger(bl)) return whole(out, al, ah, bl)
  if (al >= 0) return positive(out, al, ah, bl, bh)
  // Whole exponents may lie between bl and bh: either sign, as large as the base's size allows.
  const between = Math.floor(bh) >= Math.ceil(bl)
  if (!between && ah < 0) return setEmpty(out)
  if (!between) return positive(out, 0, ah, bl, bh)
  positive(out, 0, Math.max(-al, ah), bl, bh)
  out[0] = -out[1]!
  return out
}

/** For a base from al ≥ 0 on: y·ln x has its extremes at corners, and x^y with it. */
function positive(out: Ends, al: number, ah: number, bl: number, bh: number): Ends {
  if (ah === 0 && bh < 0) return setEmpty(out)
  const corners = [corner(al, bl), corner(al, bh), corner(ah, bl), corner(ah, bh)]
  out[0] = Math.max(0, wellDown(Math.min(...corners)))
  out[1] = wellUp(Math.max(...corners))
  return out
}

function corner(x: number, y: number): number {
  // Not −0, whose odd negative powers are −∞; and 1^∞, which has no value, is the bound of its neighbours.
  return x === 1 ? 1 : (x === 0 ? 0 : x) ** y
}

/** A whole power: even ones turn at zero, odd ones rise, negative ones are of the reciprocal. */
function whole(out: Ends, al: number, ah: number, n: number): Ends {
  if (n === 0) {
    out[0] = 1
    out[1] = 1
  } else if (n < 0) reciprocal(out, al, ah, n)
  else if (n % 2 !== 0) {
    out[0] = wellDown(al ** n)
    out[1] = wellUp(ah ** n)
  } else {
    const [near, far] = [al >= 0 ? al : ah <= 0 ? -ah : 0, Math.max(-al, ah)]
    out[0] = Math.max(0, wellDown(near ** n))
    out[1] = wellUp(far ** n)
  }
  return out
}

function reciprocal(out: Ends, al: number, ah: number, n: number): Ends {
  const even = n % 2 === 0
  if (al === 0 && ah === 0) return setEmpty(out)
  if (al < 0 && ah > 0) {
    const far = Math.max(-al, ah)
    out[0] = even ? Math.max(0, wellDown(far ** n)) : Number.NEGATIVE_INFINITY
    out[1] = Number.POSITIVE_INFINITY
    return out
  }
  // On one side of zero the size falls as the base's size grows.
  const negative = ah <= 0
  const [near, far] = negative ? [-ah, -al] : [al, ah]
  const [small, large] = [Math.max(0, wellDown(far ** n)), near === 0 ? Number.POSITIVE_INFINITY : wellUp(near ** n)]
  const turned = negative && !even
  out[0] = turned ? -large : small
  out[1] = turned ? -small : large
  return out
}
