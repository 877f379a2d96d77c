/** `a`, `a and b`, `a, b and c`. */
export function listText(items: readonly (string | number)[]): string {
  if (items.length < 2) return items.join('')
  return `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`
}

/** `trial 3`, `trials 3 and 7`, `trials 3, 7 and 12`. */
export function trialList(numbers: readonly number[]): string {
  return `${numbers.length === 1 ? 'trial' : 'trials'} ${listText(numbers)}`
}
