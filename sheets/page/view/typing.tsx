import { useLayoutEffect, useRef, useState } from 'preact/hooks'
import { plainly, shown } from './numbers.ts'

interface TypingProps {
  /** What stands before the field: "at most". */
  readonly before: string
  readonly label: string
  readonly written: string
  /** Takes what was typed, and says then why not; null where it was taken. */
  readonly write: (words: string, answered: (refused: string | null) => void) => void
  /** Keys leave the field: the focus goes back to where it came from. */
  readonly onLeave: () => void
  readonly onDone: () => void
}

/** A value written by hand, in place of one that a handle shows. */
export function Typing({ before, label, written, write, onLeave, onDone }: TypingProps) {
  const field = useRef<HTMLInputElement>(null)
  const typed = useRef(false)
  const [refused, setRefused] = useState('')
  useLayoutEffect(() => field.current!.select(), [])
  const leave = (): void => {
    if (field.current?.matches(':focus')) onLeave()
    onDone()
  }
  const settle = (): void => {
    const words = plainly(field.current!.value)
    const wanted = typed.current && words !== ''
    typed.current = false
    if (wanted) write(words, why => (why === null ? leave() : setRefused(why)))
    else leave()
  }
  return (
    <span class="typing">
      <label>
        {before}
        <input
          ref={field}
          defaultValue={written}
          aria-label={label}
          aria-invalid={refused !== ''}
          spellcheck={false}
          onInput={() => {
            typed.current = true
          }}
          onKeyDown={event => {
            if (event.key === 'Escape') typed.current = false
            if (event.key === 'Enter' || event.key === 'Escape') settle()
          }}
          onBlur={settle}
        />
      </label>
      {refused !== '' && <span class="refused">{shown(refused)}</span>}
    </span>
  )
}
