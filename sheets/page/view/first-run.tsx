import * as store from '../state/store.ts'

/** Four short prompts that lead through, until they are hidden. */
export function FirstRun() {
  // They are about the Heron: another sheet may have none of this.
  const answer = store.answer.value
  const there = answer?.targets.some(({ subject }) => subject === 'peak g') && answer.outline.names.includes('dry mass')
  if (!store.firstRun.value || !there) return null
  return (
    <section class="firstrun" aria-label="to try first">
      <p class="hint">Try</p>
      <ol>
        <li>Move a limit: drag the tab on peak g.</li>
        <li>Drag the mark across the trade map.</li>
        <li>Ask for too much, then mend it.</li>
        <li>Make the dry mass a lever.</li>
      </ol>
      <button
        type="button"
        class="foot"
        onClick={() => {
          store.firstRun.value = false
        }}
      >
        Hide
      </button>
    </section>
  )
}
