import { breakLetters } from '../../render/breakLines.js'
import { escapeHtml } from '../../web/html.js'
import { NO_FIGURE } from '../texts.js'
import type { ClipAnswer, CompareAnswer } from '../types.js'
import { sharePaths } from './Strip.js'

const WIDTH = 1080
const MARGIN = 60
const STRIP_HEIGHT = 180

/** What the picture is made of. */
export interface Pictured {
  readonly clips: readonly { readonly title: string; readonly answer: ClipAnswer }[]
  readonly verdict: CompareAnswer | null
}

/** An answer as a picture for others: the words, and how often each clip skipped over time. PNG, on white paper. */
export async function answerPicture(pictured: Pictured): Promise<File> {
  const svg = answerSvg(pictured)
  const image = new Image()
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`
  await image.decode()
  const canvas = document.createElement('canvas')
  canvas.width = WIDTH
  canvas.height = Math.round((WIDTH * image.height) / image.width)
  canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height)
  const png = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve))
  if (!png) throw new Error('the picture could not be drawn')
  return new File([png], 'everyrev.png', { type: 'image/png' })
}

/** The same as SVG, drawn from the top down. */
export function answerSvg({ clips, verdict }: Pictured): string {
  const drawn: string[] = []
  let y = 40
  const say = (words: string, size: number, weight = 400, fill = '#17211f') => {
    // A letter is some half as wide as it is high.
    for (const line of breakLetters(words, Math.floor((WIDTH - 2 * MARGIN) / (size * 0.56)))) {
      y += size * 1.3
      drawn.push(
        `<text x="${MARGIN}" y="${y}" font-size="${size}" font-weight="${weight}" fill="${fill}">${escapeHtml(line)}</text>`,
      )
    }
    y += size * 0.4
  }
  if (verdict) {
    const [first = '', ...more] = verdict.sentences
    say(first, 54, 700)
    say(more.join(' '), 32)
  }
  for (const { title, answer } of clips) {
    const { figure, strip, durationS } = answer
    y += 20
    say(title, 30, 400, '#4a5653')
    say(figure.value === null ? NO_FIGURE : `${figure.value} skipped`, verdict ? 44 : 72, 700)
    if (figure.interval) say(`${figure.interval} (95 %)`, 32)
    if (strip.length === 0) continue
    y += 20
    drawn.push(stripSvg(answer, y))
    y += STRIP_HEIGHT
    say(`Skipped turns, 0 to 100 %, over ${Math.round(durationS)} s`, 26, 400, '#4a5653')
  }
  if (verdict?.caution) say(verdict.caution, 28)
  say('everyrev', 28, 700, '#0a5a63')
  const height = Math.round(y + 40)
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${height}" viewBox="0 0 ${WIDTH} ${height}" font-family="system-ui, Noto Sans, DejaVu Sans, sans-serif"><path fill="#fff" d="M0 0H${WIDTH}V${height}H0Z"/>${drawn.join('')}</svg>`
}

function stripSvg({ strip }: ClipAnswer, top: number): string {
  const { area, edge, untold, width, height } = sharePaths(strip)
  const scale = `translate(${MARGIN} ${top}) scale(${(WIDTH - 2 * MARGIN) / width} ${STRIP_HEIGHT / height})`
  return `<g transform="${scale}"><path fill="#eef0e9" d="M0 0H${width}V${height}H0Z"/><path fill="#b03a06" opacity=".35" d="${area}"/><path fill="#b03a06" d="${edge}"/><path fill="#636b69" d="${untold}"/></g>`
}
