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

/** The sound as a WAV file of 16 bits, which every browser plays and finds its way in exactly. */
function wavBlob({ samples, rateHz }: Sound): Blob {
  const head = new DataView(new ArrayBuffer(44))
  const word = (at: number, text: string) => {
    for (let k = 0; k < text.length; k++) head.setUint8(at + k, text.charCodeAt(k))
  }
  word(0, 'RIFF')
  head.setUint32(4, 36 + samples.byteLength, true)
  word(8, 'WAVEfmt ')
  head.setUint32(16, 16, true)
  head.setUint16(20, 1, true)
  head.setUint16(22, 1, true)
  head.setUint32(24, rateHz, true)
  head.setUint32(28, 2 * rateHz, true)
  head.setUint16(32, 2, true)
  head.setUint16(34, 16, true)
  word(36, 'data')
  head.setUint32(40, samples.byteLength, true)
  return new Blob([head.buffer, samples], { type: 'audio/wav' })
}
