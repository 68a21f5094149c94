import type { TargetState } from '../../report/target-words.ts'

/** The small drawing before a state word: mark and tick apart, touching, or the mark past it. */
export function Glyph({ state }: { readonly state: TargetState }) {
  const at = { met: 10, 'at its limit': 20, short: 29, 'no value': 0 }[state]
  const ink = state === 'met' ? 'ink' : state === 'at its limit' ? 'limit' : 'short'
  return (
    <svg class="glyph" width={38} height={18} viewBox="0 0 38 18" aria-hidden="true">
      <line x1={0} y1={11} x2={37} y2={11} class="rule" />
      {state === 'met' && <line x1={at} y1={11} x2={27} y2={11} class="room" />}
      {state === 'short' && <line x1={20} y1={11} x2={at} y2={11} class="overline" />}
      <line x1={state === 'short' ? 20 : 27} y1={2} x2={state === 'short' ? 20 : 27} y2={14} class={`tick ${ink}`} />
      {state !== 'no value' && <path class={`lozenge ${ink}`} d={`M${at} 5l6 6l-6 6l-6 -6Z`} />}
    </svg>
  )
}
