import { wavOf } from '../../web/wav.js'
import type { Sound } from './clip.js'
import type { Stage } from './stage.js'

export interface Player {
  toggle(): void
}

/** Plays the sound of the clip that is shown; the present moment follows it, and it follows where one goes. */
export function startPlayer(stage: Stage): Player {
  const audio = document.getElementById('audio') as HTMLAudioElement
  const play = document.getElementById('play') as HTMLButtonElement
  const pitch = document.getElementById('pitch') as HTMLInputElement
  let url: string | null = null
  let following = false
  const rate = () => Number((document.querySelector('input[name=rate]:checked') as HTMLInputElement).value)
  const setRate = () => {
    audio.defaultPlaybackRate = audio.playbackRate = rate()
    audio.preservesPitch = pitch.checked
  }
  const load = () => {
    const { sound } = stage.clip
    const wasPlaying = !audio.paused
    if (url) URL.revokeObjectURL(url)
    url = sound && URL.createObjectURL(wavBlob(sound))
    play.disabled = sound === null
    if (url === null) return audio.removeAttribute('src')
    audio.src = url
    setRate()
    audio.currentTime = Math.min(stage.nowS, sound!.lengthS)
    if (wasPlaying) start()
  }
  const start = () => {
    // At the end, or beyond the sound the page holds, it starts again at the beginning of what is shown.
    if (audio.ended || stage.nowS >= (stage.clip.sound?.lengthS ?? 0) - 0.05) stage.goTo(stage.span.fromS)
    void audio.play().catch(() => showState())
  }
  const showState = () => {
    play.textContent = audio.paused ? 'Play' : 'Pause'
    play.setAttribute('aria-pressed', String(!audio.paused))
  }
  const follow = () => {
    if (audio.paused) return
    following = true
    stage.goTo(audio.currentTime)
    following = false
    requestAnimationFrame(follow)
  }
  stage.onChange((event) => {
    if (event === 'clip') load()
    const { sound } = stage.clip
    if (event === 'now' && !following && sound) audio.currentTime = Math.min(stage.nowS, sound.lengthS)
  })
  audio.addEventListener('play', () => {
    showState()
    requestAnimationFrame(follow)
  })
  for (const event of ['pause', 'ended', 'error']) audio.addEventListener(event, showState)
  for (const input of document.querySelectorAll('input[name=rate], #pitch'))
    input.addEventListener('change', setRate)
  const toggle = () => {
    if (!stage.clip.sound) return
    if (audio.paused) start()
    else audio.pause()
    showState()
  }
  play.addEventListener('click', toggle)
  load()
  return { toggle }
}

/** The sound as a WAV file, which every browser plays and finds its way in exactly. */
const wavBlob = ({ samples, rateHz }: Sound): Blob =>
  new Blob([wavOf([samples], rateHz)], { type: 'audio/wav' })
