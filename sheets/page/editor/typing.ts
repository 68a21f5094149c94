import { Transaction } from '@codemirror/state'

/** Whether letters or the end of a line were typed, not pasted or completed. */
export function isTyped(transactions: readonly Transaction[]): boolean {
  return transactions.some(each => each.isUserEvent('input.type') || each.annotation(Transaction.userEvent) === 'input')
}

export function isDeleted(transactions: readonly Transaction[]): boolean {
  return transactions.some(each => each.isUserEvent('delete'))
}
