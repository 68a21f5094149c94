import { useRef } from 'preact/hooks'
import type { AnswerView } from '../spoken.ts'
import { askBook, askWorking } from '../state/asking.ts'
import * as store from '../state/store.ts'
import { useSight } from './measure.ts'
import { shown } from './numbers.ts'
import { Working } from './working.tsx'

/** All figures; a number that is chosen tells its working. */
export function Figures() {
  const answer = store.answerOfFigures.value
  return answer && answer.figures.length > 0 ? <FiguresSection answer={answer} /> : null
}

function FiguresSection({ answer }: { readonly answer: AnswerView }) {
  const section = useRef<HTMLElement>(null)
  useSight(section, seen => store.see('figures', seen))
  const told = answer.figures.filter(({ text }) => text !== 'none')
  const none = answer.figures.filter(({ text }) => text === 'none').map(({ name }) => name)
  return (
    <section ref={section} aria-labelledby="figures" class={answer.stale || answer.figuresOld ? 'stale' : ''}>
      <div class="row">
        <h2 id="figures">Figures</h2>
        <p class="hint">choose a number to read its working</p>
        <button type="button" class="foot" onClick={askBook}>
          Save spreadsheet
        </button>
      </div>
      <dl class="figures">
        {told.map(({ name, text, reason }) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              <button type="button" class="number" title={reason ?? undefined} onClick={() => askWorking(name)}>
                {shown(text)}
                <span class="unseen">, the working of {name}</span>
              </button>
            </dd>
          </div>
        ))}
      </dl>
      {none.length > 0 && <p class="hint small">No value here: {none.join(', ')}.</p>}
      <Working />
    </section>
  )
}
