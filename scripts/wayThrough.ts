/** The way through the code as a picture: writes docs/way.md, made from the imports. Run by hand after rooms change. */
import { writeFileSync } from 'node:fs'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { alg, Graph } from '@dagrejs/graphlib'
import { type Import, isTest, readImports, readRooms, roomOf } from './imports.js'

export const WAY_FILE = fileURLToPath(new URL('../docs/way.md', import.meta.url))

/** Folders whose rooms are drawn, each as a box of its own. */
const BOXES = { 'packages/core/src/': 'library', 'packages/cli/src/': 'program' }
/** Rooms that all others take from: lines to them would hide the way. */
const COMMON = ['packages/core/src/errors.ts', 'packages/core/src/math/', 'packages/cli/src/exit.ts']

/** The document: rooms as boxes, and a line from each to those that take from it without a room between. */
export function wayThrough(imports: readonly Import[], rooms: readonly string[]): string {
  const drawn = rooms.filter((room) => boxOf(room) !== undefined && !COMMON.includes(room))
  const graph = new Graph()
  for (const { from, to } of imports.filter(({ from }) => !isTest(from))) {
    const [user, used] = [roomOf(from, rooms)!, roomOf(to, rooms)!]
    if (user !== used && drawn.includes(user) && drawn.includes(used)) graph.setEdge(used, user)
  }
  const boxes = Object.entries(BOXES).flatMap(([folder, name]) => [
    `  subgraph ${name}`,
    ...drawn.filter((room) => boxOf(room) === folder).map((room) => `    ${idOf(room)}["${labelOf(room)}"]`),
    '  end',
  ])
  const lines = shortest(graph).map(({ v, w }) => `  ${idOf(v)} --> ${idOf(w)}`)
  return `# The way through the code

Made from the imports by \`npx tsx scripts/wayThrough.ts\`; a test holds it to them. A line leads from a room to one that takes from it;
where it does so by way of another, only the longer way is drawn. Left out: what all take from (${COMMON.map(
    (room) => `\`${room}\``,
  ).join(', ')}) and tests.

\`\`\`mermaid
flowchart TD
${[...boxes, ...lines].join('\n')}
\`\`\`
`
}

const boxOf = (room: string) => Object.keys(BOXES).find((folder) => room.startsWith(folder))
const labelOf = (room: string) => room.slice(boxOf(room)!.length) || 'tuning/'
const idOf = (room: string) => room.replace('packages/', '').replace(/\W+/g, '_')

/** Lines without those that a longer way replaces, in a fixed order. */
function shortest(graph: Graph): { readonly v: string; readonly w: string }[] {
  const reached = new Map(graph.nodes().map((node) => [node, new Set(alg.preorder(graph, [node]))]))
  const isReplaced = (v: string, w: string) =>
    (graph.successors(v) ?? []).some((other) => other !== w && reached.get(other)!.has(w))
  return graph
    .edges()
    .filter(({ v, w }) => !isReplaced(v, w))
    .sort((a, b) => a.v.localeCompare(b.v) || a.w.localeCompare(b.w))
}

if (import.meta.url === pathToFileURL(process.argv[1]!).href)
  writeFileSync(WAY_FILE, wayThrough(readImports(), readRooms()))
