import { SKIPPED } from '@everyrev/core'
import type { Player } from './player.js'
import type { Stage } from './stage.js'
import { step, turnWords } from './steps.js'

const ZOOM = 0.5
/** On or back by this share of what is shown. */
const PAGE = 0.5
/** Seconds shown by the button for single pulses: some ten turns at cruise. */
const PULSES_S = 0.15

/** Buttons, keys, the slider, the strip over the clip, and the words on the turn we are in. */
export function startControls(stage: Stage, player: Player): void {
  const on = (id: string, act: () => void) => document.getElementById(id)!.addEventListener('click', act)
  const whole = () => stage.zoomTo(0, stage.clip.durationS)
  on('back', () => step(stage, -1, true))
  on('next', () => step(stage, 1, true))
  on('zoom-in', () => stage.zoomBy(ZOOM))
  on('zoom-out', () => stage.zoomBy(1 / ZOOM))
  on('whole', whole)
  on('pulses', () => {
    const { fromS, toS } = stage.span
    const about = stage.nowS > fromS && stage.nowS < toS ? stage.nowS : (fromS + toS) / 2
    stage.zoomTo(about - PULSES_S / 2, about + PULSES_S / 2)
  })
  startKeys(stage, player, whole)
  startSlider(stage)
  startOverview(stage)
  startWords(stage)
}

/** Arrows work wherever they mean nothing else; the other keys with the focus on the plots, as they are characters. */
function startKeys(stage: Stage, player: Player, whole: () => void): void {
  const plots = document.getElementById('plots')!
  document.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return
    const target = event.target as HTMLElement
    const isFree = target === document.body || target === plots || target.closest('.player button') !== null
    const way = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : null
    if (way !== null && isFree) {
      step(stage, way, !event.shiftKey)
      return event.preventDefault()
    }
    if (target !== plots) return
    const acts: Record<string, () => void> = {
      ' ': player.toggle,
      '+': () => stage.zoomBy(ZOOM),
      '=': () => stage.zoomBy(ZOOM),
      '-': () => stage.zoomBy(1 / ZOOM),
      '0': whole,
      PageUp: () => stage.push(-PAGE),
      PageDown: () => stage.push(PAGE),
      Home: () => stage.goTo(0),
      End: () => stage.goTo(stage.clip.durationS),
    }
    const act = acts[event.key]
    if (!act) return
    act()
    event.preventDefault()
  })
}

function startSlider(stage: Stage): void {
  const seek = document.getElementById('seek') as HTMLInputElement
  seek.addEventListener('input', () => stage.goTo(Number(seek.value)))
  const show = () => {
    seek.max = String(stage.clip.durationS)
    seek.value = String(stage.nowS)
    seek.setAttribute('aria-valuetext', `${stage.nowS.toFixed(1)} seconds`)
  }
  stage.onChange(show)
  show()
}

/** The strip: what part is shown below, where we are; a tap goes there. */
function startOverview(stage: Stage): void {
  const overview = document.getElementById('overview')!
  const shown = document.getElementById('window')!
  const now = document.getElementById('overview-now')!
  shown.hidden = now.hidden = false
  const place = () => {
    const { fromS, toS } = stage.span
    const { durationS } = stage.clip
    shown.style.left = `${(100 * fromS) / durationS}%`
    shown.style.width = `${(100 * (toS - fromS)) / durationS}%`
    now.style.left = `${(100 * stage.nowS) / durationS}%`
  }
  stage.onChange(place)
  overview.addEventListener('click', (event) => {
    const box = overview.getBoundingClientRect()
    const timeS = ((event.clientX - box.left) / box.width) * stage.clip.durationS
    const lengthS = stage.span.toS - stage.span.fromS
    stage.zoomTo(timeS - lengthS / 2, timeS + lengthS / 2)
    stage.goTo(timeS)
  })
  place()
}

function startWords(stage: Stage): void {
  const words = document.getElementById('turn')!
  const audio = document.getElementById('audio') as HTMLAudioElement
  const tell = () => {
    // While it plays the words would never stand still, least of all for a screen reader.
    words.textContent = audio.paused ? turnWords(stage) : 'Playing.'
    const none = !stage.clip.turns.label.includes(SKIPPED)
    for (const id of ['back', 'next']) (document.getElementById(id) as HTMLButtonElement).disabled = none
  }
  stage.onChange((event) => (event === 'now' || event === 'clip') && tell())
  audio.addEventListener('pause', tell)
  tell()
}
