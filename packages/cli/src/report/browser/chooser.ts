import type { PageClip } from '../pageData.js'

/** Switches between the clips of a comparison; on a page about one clip there is nothing to switch. */
export function startChooser(clips: readonly PageClip[], show: (index: number) => void): void {
  const sides = [...document.querySelectorAll<HTMLInputElement>('input[name=side]')]
  const select = document.getElementById('clip') as HTMLSelectElement | null
  if (sides.length === 0) return
  const ofSide = (side: string) => [...clips.keys()].filter((k) => clips[k]!.side === side)
  let current = 0
  const go = (index: number) => {
    current = index
    for (const input of sides) input.checked = input.value === clips[index]!.side
    if (select) select.value = String(index)
    document.querySelectorAll('#overview .strip').forEach((strip, k) => {
      strip.toggleAttribute('hidden', k !== index)
    })
    show(index)
  }
  for (const input of sides) {
    input.addEventListener('change', () => {
      // The first clip of one side answers the first of the other, and so on as far as there are as many.
      const place = ofSide(clips[current]!.side!).indexOf(current)
      const other = ofSide(input.value)
      go(other[Math.min(place, other.length - 1)]!)
    })
  }
  select?.addEventListener('change', () => go(Number(select.value)))
}
