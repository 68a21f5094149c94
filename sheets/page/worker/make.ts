/** A worker of the page: from its own file, or from the text inside a page that is one file. */
export function makeWorker(): Worker {
  const inside = document.getElementById('worker-inside')
  if (!inside) return new Worker('worker.js', { type: 'module' })
  const address = URL.createObjectURL(new Blob([inside.textContent ?? ''], { type: 'text/javascript' }))
  return new Worker(address, { type: 'module' })
}
