/** The key for a handle: none where Ctrl, Alt or Cmd makes it the browser's own, such as to print or to go back. */
export function keyOf({ key, ctrlKey, altKey, metaKey }: KeyboardEvent): string {
  return ctrlKey || altKey || metaKey ? '' : key
}

const STEPS: Readonly<Record<string, number>> = {
  ArrowRight: 1,
  ArrowUp: 1,
  ArrowLeft: -1,
  ArrowDown: -1,
  PageUp: 10,
  PageDown: -10,
}

/** How many steps a key moves a handle: undefined where it is none that moves it. */
export function stepsOf(event: KeyboardEvent): number | undefined {
  const steps = STEPS[keyOf(event)]
  return steps && event.shiftKey && event.key.startsWith('Arrow') ? 10 * steps : steps
}
