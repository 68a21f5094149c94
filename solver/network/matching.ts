import type { Graph } from './components.ts'

/**
 * A largest matching between the nodes of `graph` (left) and what they lead to (right, `rights` of them), by Hopcroft and Karp
 * (SIAM J. Comput. 2, 1973). `start[left]` may give pairs to begin with (−1: none); they are changed only where that matches more.
 * Gives the partner of each left node, −1 where it has none.
 */
export function matching(graph: Graph, rights: number, start: Int32Array): Int32Array {
  const lefts = graph.starts.length - 1
  const partner = start.slice()
  const back = new Int32Array(rights).fill(-1)
  for (let left = 0; left < lefts; left++) if (partner[left]! >= 0) back[partner[left]!] = left
  const layer = new Int32Array(lefts)
  while (layered(graph, partner, back, layer)) {
    const cursor = graph.starts.slice(0, lefts)
    let grown = false
    for (let left = 0; left < lefts; left++) {
      if (partner[left] === -1 && augmented(graph, partner, back, layer, cursor, left)) grown = true
    }
    if (!grown) break
  }
  return partner
}

/** Numbers the left nodes by the length of the shortest alternating path from one without a partner; whether some path ends. */
function layered({ starts, targets }: Graph, partner: Int32Array, back: Int32Array, layer: Int32Array): boolean {
  const queue: number[] = []
  layer.fill(-1)
  for (let left = 0; left < layer.length; left++) {
    if (partner[left] === -1) {
      layer[left] = 0
      queue.push(left)
    }
  }
  let ends = false
  for (let at = 0; at < queue.length; at++) {
    const left = queue[at]!
    for (let edge = starts[left]!; edge < starts[left + 1]!; edge++) {
      const other = back[targets[edge]!]!
      if (other === -1) ends = true
      else if (layer[other] === -1) {
        layer[other] = layer[left]! + 1
        queue.push(other)
      }
    }
  }
  return ends
}

/** Looks for one path from `root` down the layers to a free right node and turns it over. */
function augmented(
  { starts, targets }: Graph,
  partner: Int32Array,
  back: Int32Array,
  layer: Int32Array,
  cursor: Int32Array,
  root: number,
): boolean {
  const path = [root]
  while (path.length > 0) {
    const left = path[path.length - 1]!
    if (cursor[left]! >= starts[left + 1]!) {
      layer[left] = -1
      path.pop()
      if (path.length > 0) cursor[path[path.length - 1]!]!++
      continue
    }
    const right = targets[cursor[left]!]!
    const other = back[right]!
    if (other === -1) {
      for (const node of path) {
        const to = targets[cursor[node]!]!
        partner[node] = to
        back[to] = node
      }
      return true
    }
    if (layer[other] === layer[left]! + 1) path.push(other)
    else cursor[left]!++
  }
  return false
}
