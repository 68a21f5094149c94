import type { WhyView } from '../spoken.ts'
import * as store from '../state/store.ts'
import { shown } from './numbers.ts'
import { WideTable } from './wide-table.tsx'

/** How far each target moves for a little more of each lever and fact. */
export function Sensitivities() {
  const why = store.whyShown.value
  const table = why?.sensitivities
  if (!table || table.rows.length === 0 || table.targets.length === 0) return null
  return <Moves table={table} decides={why?.decides ?? null} />
}

function Moves({ table, decides }: { readonly table: WhyView['sensitivities']; readonly decides: string | null }) {
  return (
    <section aria-labelledby="moves" class={store.whyOld.value ? 'stale' : ''}>
      <h2 id="moves">What moves what</h2>
      <WideTable
        label="what moves what"
        about="how far each target moves for so much more of one thing, the others kept"
      >
        <thead>
          <tr>
            <th scope="col">more of</th>
            <th scope="col">by</th>
            {table.targets.map(({ subject, unit }, place) => (
              <th scope="col" key={place}>
                {subject}
                {unit === '' ? '' : `, ${unit}`}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map(({ name, words, cells }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{shown(words)}</td>
              {cells.map((cell, place) => (
                <td key={place}>{shown(cell)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </WideTable>
      {decides && <p class="hint">{shown(decides)}</p>}
    </section>
  )
}
