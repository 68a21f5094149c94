/** A worker of the page: from its own file, or from the text inside a page that is one file. */
export function makeWorker(): Worker {
  const inside = document.getElementById('worker-inside')
  if (!inside) return new Worker('worker.js', { type: 'module' })
  // A page from a disk has no origin, and a worker that is a module would be fetched under it; this one is a plain script.
  const source = `'use strict';${inside.textContent ?? ''}`
  return new Worker(URL.createObjectURL(new Blob([source], { type: 'text/javascript' })))
}
