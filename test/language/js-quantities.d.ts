// js-quantities brings no types of its own; the two calls the tests make.
declare module 'js-quantities' {
  export default function Qty(value: number, unit: string): { toBase(): { scalar: number } }
}
