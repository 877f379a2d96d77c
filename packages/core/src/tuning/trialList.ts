/** `trial 3`, `trials 3 and 7`, `trials 3, 7 and 12`. */
export function trialList(numbers: readonly number[]): string {
  if (numbers.length === 1) return `trial ${numbers[0]}`
  return `trials ${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`
}
