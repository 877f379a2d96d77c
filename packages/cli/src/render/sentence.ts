/** With a capital at its beginning. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

/** With a capital at its beginning and, where it has no end, a full stop. */
export function sentence(text: string): string {
  return /[.!?]$/.test(text) ? capital(text) : `${capital(text)}.`
}
