import { sayNow } from '../state/aloud.ts'
import { askDrafts } from '../state/asking.ts'
import { drop, droppedWords, takeBack } from '../state/dropped-draft.ts'
import { same } from '../state/history.ts'
import { draftsOpen } from '../state/panels.ts'
import * as store from '../state/store.ts'
import { shown } from './numbers.ts'
import { WideTable } from './wide-table.tsx'

/** Kept alternatives of the sheet side by side, compared setting by setting. */
export function Drafts() {
  if (!draftsOpen.value) return null
  const drafts = store.drafts.value
  const compared = store.compared.value
  const keep = (): void => {
    store.keepDraft(`draft ${drafts.length + 1}`)
    const now = store.drafts.value
    const { name } = now.find(each => same(each, store.draft.value))!
    sayNow(now.length === drafts.length ? `kept already, as ${name}` : `kept as ${name}`)
  }
  const rows = [...new Set(compared.flatMap(({ cells }) => Object.keys(cells)))]
  return (
    <section aria-labelledby="drafts">
      <div class="row">
        <h2 id="drafts">Drafts</h2>
        <p class="hint">kept alternatives of this sheet; one is kept before each risky change</p>
        <button type="button" class="foot" onClick={keep}>
          Keep this one
        </button>
        {drafts.length > 0 && (
          <button type="button" class="foot" onClick={askDrafts}>
            Compare
          </button>
        )}
      </div>
      {droppedWords.value && (
        <p class="hint">
          {droppedWords.value}{' '}
          <button type="button" class="foot" onClick={takeBack}>
            Take it back
          </button>
        </p>
      )}
      {drafts.length === 0 && <p class="hint">No draft is kept yet.</p>}
      <ul class="drafts">
        {drafts.map((draft, place) => (
          // Names may repeat; places do not.
          <li key={place}>
            <input
              aria-label={`name of draft ${place + 1}`}
              value={draft.name}
              onKeyDown={event => {
                if (event.key === 'Escape') event.currentTarget.value = draft.name
              }}
              onChange={event => {
                const name = event.currentTarget.value
                store.drafts.value = drafts.map((each, k) => (k === place ? { ...each, name } : each))
              }}
            />
            <button type="button" class="foot" onClick={() => store.takeUp(draft)}>
              Take it up<span class="unseen">: {draft.name}</span>
            </button>
            <button type="button" class="foot" onClick={() => drop(place)}>
              Drop it<span class="unseen">: {draft.name}</span>
            </button>
          </li>
        ))}
      </ul>
      {compared.length > 0 && drafts.length > 0 && (
        <div class={store.comparedOld.value ? 'stale' : ''}>
          <WideTable
            label="drafts compared"
            about={store.comparedOld.value ? 'from before the change: compare again' : ''}
          >
            <thead>
              <tr>
                <th scope="col">setting</th>
                {compared.map(({ name }, place) => (
                  <th scope="col" key={place}>
                    {name}
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {rows.map(row => {
                const cells = compared.map(({ cells }) => cells[row] ?? '')
                return (
                  <tr key={row} class={new Set(cells).size > 1 ? 'differs' : ''}>
                    <th scope="row">{row}</th>
                    {cells.map((cell, place) => (
                      <td key={place}>{shown(cell)}</td>
                    ))}
                  </tr>
                )
              })}
            </tbody>
          </WideTable>
        </div>
      )}
    </section>
  )
}
