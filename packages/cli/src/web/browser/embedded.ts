/** What the program put into the page under this id. */
export function embedded<T>(id: string): T {
  return JSON.parse(document.getElementById(id)!.textContent!) as T
}
