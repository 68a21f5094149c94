import { openFiles } from '../state/files.ts'

/** Takes files that are dropped on the page. */
export function takeDropped(): void {
  addEventListener('dragover', event => event.preventDefault())
  addEventListener('drop', event => {
    event.preventDefault()
    void openFiles(event.dataTransfer?.files ?? [])
  })
}
