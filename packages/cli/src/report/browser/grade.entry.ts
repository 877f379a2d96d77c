import { embedded } from '../../web/browser/embedded.js'

// Sorts and filters the table of `grade --html`.
const figures = embedded<readonly (readonly (number | null)[])[]>('figures')
document.documentElement.classList.add('js')
const body = document.querySelector<HTMLTableSectionElement>('#clips tbody')!
const rows = [...body.rows]
const names = rows.map((row) => row.cells[0]!.firstChild!.textContent!.toLowerCase())
const heads = [...document.querySelectorAll<HTMLButtonElement>('.sort')]
const choice = document.getElementById('sort-choice') as HTMLSelectElement
const nameFilter = document.getElementById('name-filter') as HTMLInputElement
const gradeFilter = document.getElementById('grade-filter') as HTMLSelectElement
const count = document.getElementById('count')!
/** Column of the names: these read best from A, everything else from the most. */
const NAMES = 0

function sortBy(column: number, isRising: boolean): void {
  const way = isRising ? 1 : -1
  const order = [...rows.keys()].sort((a, b) => {
    const x = figures[a]![column]!
    const y = figures[b]![column]!
    if (x === null || y === null) return x === y ? a - b : x === null ? 1 : -1
    return way * (x - y) || a - b
  })
  body.append(...order.map((k) => rows[k]!))
  for (const head of heads) {
    const cell = head.closest('th')!
    if (Number(head.dataset.column) === column)
      cell.setAttribute('aria-sort', isRising ? 'ascending' : 'descending')
    else cell.removeAttribute('aria-sort')
  }
  choice.value = String(column)
}

function filter(): void {
  const part = nameFilter.value.trim().toLowerCase()
  const grade = gradeFilter.value
  let shown = 0
  rows.forEach((row, k) => {
    const isShown = names[k]!.includes(part) && (grade === '' || row.dataset.grade === grade)
    row.hidden = !isShown
    if (isShown) shown++
  })
  count.textContent = shown === rows.length ? `${shown} clips` : `${shown} of ${rows.length} clips`
}

for (const head of heads) {
  head.addEventListener('click', () => {
    const column = Number(head.dataset.column)
    const sorted = head.closest('th')!.getAttribute('aria-sort')
    sortBy(column, sorted === null ? column === NAMES : sorted === 'descending')
  })
}
choice.addEventListener('change', () => sortBy(Number(choice.value), Number(choice.value) === NAMES))
nameFilter.addEventListener('input', filter)
gradeFilter.addEventListener('change', filter)
