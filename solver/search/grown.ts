/** The numbers of an array that has become too small, in a larger one. */
export function grown<T extends Float64Array | Int32Array | Uint8Array>(from: T, to: T): T {
  to.set(from)
  return to
}
