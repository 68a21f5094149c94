import { expect } from 'vitest'
import { openSheet, type WorkingAnswer, type WorkingRelation, type WorkingStep } from '../../sheets/index.ts'

/** Works out an expression by itself, as a sheet that knows nothing else would. */
function worth(expression: string): number {
  const sheet = openSheet(`figure worth = ${expression}`)
  expect(sheet.problems, expression).toEqual([])
  return sheet.at({}).worth!
}

/** A number as printed, in the language of sheets. */
export function plain(text: string): string {
  return text.replaceAll(',', '').replaceAll('−', '-').replaceAll('×', '*')
}

/** The relations of a step. */
export const relationsOf = (step: WorkingStep): readonly WorkingRelation[] =>
  step.parts.filter((part): part is WorkingRelation => part.kind === 'relation')

/** Every relation of a working gives back what it is said to give; how many there were. */
export function checkRelations(working: WorkingAnswer): number {
  let count = 0
  for (const step of working.steps) {
    const relations = relationsOf(step)
    for (const { gives, exact, inputs } of relations) {
      for (const { text, si } of inputs) if (typeof si === 'number') checkPrinted(text, si)
      if (exact === null) continue
      const margin = working.targets.find(target => target.text === step.name)?.margin
      const own = gives === undefined || gives === step.name
      const given = own ? step.si : gives === 'margin' ? margin : laterInput(relations, gives)
      const value = worth(exact)
      const scale = gives === 'margin' ? 1 : Math.abs(given as number)
      expect(Math.abs(value - (given as number)), `${step.name} = ${exact}`).toBeLessThanOrEqual(1e-9 * scale)
      count++
    }
  }
  return count
}

function laterInput(relations: readonly WorkingRelation[], name: string): unknown {
  return relations.flatMap(({ inputs }) => inputs).find(input => input.name === name)?.si
}

/** A printed number stands for its value to half a unit of its last digit. */
function checkPrinted(text: string, si: number): void {
  const [, digits, unit = ''] = /^(\S+)\s?(.*)$/.exec(plain(text))!
  const [mantissa, exponent = '0'] = digits!.split('e')
  const places = (mantissa!.split('.')[1] ?? '').length - Number(exponent)
  const at = (value: string): number => worth(`${value} ${unit}`.trim())
  const half = Math.abs(at((Number(digits) + 0.5 * 10 ** -places).toPrecision(15)) - at(digits!))
  expect(Math.abs(at(digits!) - si), `${text} for ${si}`).toBeLessThanOrEqual(half * 1.000001 + 1e-12 * Math.abs(si))
}
