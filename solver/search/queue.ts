import { grown } from './grown.ts'

/** A heap of keys (numbers compared place by place, smaller first; equal ones in order of arrival), each with a number of its own. */
export class Queue {
  size = 0
  private readonly width: number
  private keys: Float64Array
  private items: Float64Array
  private order: Float64Array
  private heap: Int32Array
  /** Slots taken out, so many, and slots ever used. */
  private free: Int32Array
  private freed = 0
  private used = 0
  private arrivals = 0

  constructor(width: number) {
    this.width = width
    this.keys = new Float64Array(128 * width)
    this.items = new Float64Array(128)
    this.order = new Float64Array(128)
    this.heap = new Int32Array(128)
    this.free = new Int32Array(128)
  }

  /** Takes everything out. */
  clear(): void {
    this.size = 0
    this.used = 0
    this.arrivals = 0
    this.freed = 0
  }

  push(key: Float64Array, item: number): void {
    const slot = this.freed > 0 ? this.free[--this.freed]! : this.used++
    if (slot >= this.items.length) this.grow()
    this.keys.set(key, slot * this.width)
    this.items[slot] = item
    this.order[slot] = this.arrivals++
    let i = this.size++
    while (i > 0) {
      const parent = (i - 1) >> 1
      if (!this.before(slot, this.heap[parent]!)) break
      this.heap[i] = this.heap[parent]!
      i = parent
    }
    this.heap[i] = slot
  }

  /** Takes the first out: its key is copied to `key`, its number given; −1 where the queue is empty. */
  pop(key: Float64Array): number {
    if (this.size === 0) return -1
    const top = this.heap[0]!
    const moved = this.heap[--this.size]!
    let i = 0
    for (let child = 1; child < this.size; child = 2 * i + 1) {
      if (child + 1 < this.size && this.before(this.heap[child + 1]!, this.heap[child]!)) child++
      if (!this.before(this.heap[child]!, moved)) break
      this.heap[i] = this.heap[child]!
      i = child
    }
    this.heap[i] = moved
    for (let k = 0; k < this.width; k++) key[k] = this.keys[top * this.width + k]!
    this.free[this.freed++] = top
    return this.items[top]!
  }

  private before(a: number, b: number): boolean {
    const { keys, width } = this
    for (let k = 0; k < width; k++) {
      const one = keys[a * width + k]!
      const two = keys[b * width + k]!
      if (one !== two) return one < two
    }
    return this.order[a]! < this.order[b]!
  }

  private grow(): void {
    this.keys = grown(this.keys, new Float64Array(2 * this.keys.length))
    this.items = grown(this.items, new Float64Array(2 * this.items.length))
    this.order = grown(this.order, new Float64Array(2 * this.order.length))
    this.heap = grown(this.heap, new Int32Array(2 * this.heap.length))
    this.free = grown(this.free, new Int32Array(2 * this.free.length))
  }
}
