/** A directed graph in rows: the successors of node i are `targets[starts[i] … starts[i + 1] − 1]`. */
export interface Graph {
  readonly starts: Int32Array
  readonly targets: Int32Array
}

/** A graph of `size` nodes from its edges, given as pairs one after the other. Edges keep their order within a node. */
export function graphOf(size: number, pairs: readonly number[]): Graph {
  const starts = new Int32Array(size + 1)
  for (let i = 0; i < pairs.length; i += 2) starts[pairs[i]! + 1]!++
  for (let i = 0; i < size; i++) starts[i + 1]! += starts[i]!
  const next = starts.slice(0, size)
  const targets = new Int32Array(pairs.length / 2)
  for (let i = 0; i < pairs.length; i += 2) targets[next[pairs[i]!]!++] = pairs[i + 1]!
  return { starts, targets }
}

/** The strongly connected parts of a graph. */
export interface Components {
  /** The part of each node; a part's number is larger than those of the parts it leads to. */
  readonly of: Int32Array
  readonly count: number
  /** All nodes, those that others lead to first: an evaluation order where edges mean "reads". */
  readonly order: Int32Array
}

/** Tarjan's algorithm (SIAM J. Comput. 1, 1972) on a stack of its own, so that long chains do not end the program's. */
export function components({ starts, targets }: Graph): Components {
  const size = starts.length - 1
  const of = new Int32Array(size).fill(-1)
  const index = new Int32Array(size).fill(-1)
  const lowest = new Int32Array(size)
  const cursor = starts.slice(0, size)
  const path = new Int32Array(size)
  const open = new Int32Array(size)
  const order = new Int32Array(size)
  let visited = 0
  let opened = 0
  let placed = 0
  let count = 0
  for (let root = 0; root < size; root++) {
    if (index[root] !== -1) continue
    let depth = 0
    path[0] = root
    open[opened++] = root
    index[root] = lowest[root] = visited++
    while (depth >= 0) {
      const node = path[depth]!
      if (cursor[node]! < starts[node + 1]!) {
        const next = targets[cursor[node]!++]!
        if (index[next] === -1) {
          path[++depth] = next
          open[opened++] = next
          index[next] = lowest[next] = visited++
        } else if (of[next] === -1 && index[next]! < lowest[node]!) lowest[node] = index[next]!
        continue
      }
      depth--
      if (depth >= 0 && lowest[node]! < lowest[path[depth]!]!) lowest[path[depth]!] = lowest[node]!
      if (lowest[node] !== index[node]) continue
      for (let member = -1; member !== node; ) {
        member = open[--opened]!
        of[member] = count
        order[placed++] = member
      }
      count++
    }
  }
  return { of, count, order }
}

/**
 * A shortest circle through `start` inside its own part, as the nodes in the order of the edges, `start` first.
 * Null where there is none (a part of one node that does not lead to itself).
 */
export function circleThrough(graph: Graph, { of }: Components, start: number): number[] | null {
  if (!staysInside(graph, of, start)) return null
  const { starts, targets } = graph
  const from = new Map<number, number>()
  const queue = [start]
  for (let at = 0; at < queue.length; at++) {
    const node = queue[at]!
    for (let edge = starts[node]!; edge < starts[node + 1]!; edge++) {
      const next = targets[edge]!
      if (next === start) {
        const circle = [node]
        for (let back = node; back !== start; circle.push(back)) back = from.get(back)!
        return circle.reverse()
      }
      if (of[next] !== of[start] || from.has(next)) continue
      from.set(next, node)
      queue.push(next)
    }
  }
  return null
}

/** Whether an edge leads from a node to its own part: of most it does not, and nothing is made to find that out. */
function staysInside({ starts, targets }: Graph, of: Int32Array, node: number): boolean {
  for (let edge = starts[node]!; edge < starts[node + 1]!; edge++) if (of[targets[edge]!] === of[node]) return true
  return false
}
