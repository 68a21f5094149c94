import * as store from '../state/store.ts'
import { shown } from './numbers.ts'

/** How far each target moves for a little more of each lever and fact. */
export function Sensitivities() {
  const why = store.whyShown.value
  const table = why?.sensitivities
  if (!table || table.rows.length === 0 || table.targets.length === 0) return null
  return (
    <section aria-labelledby="moves" class={store.whyOld.value ? 'stale' : ''}>
      <h2 id="moves">What moves what</h2>
      <p class="hint">how far each target moves for so much more of one thing, the others kept</p>
      <div class="scroll" tabindex={0} role="group" aria-label="what moves what">
        <table class="numbers">
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
        </table>
      </div>
      {why?.decides && <p class="hint">{shown(why.decides)}</p>}
    </section>
  )
}
