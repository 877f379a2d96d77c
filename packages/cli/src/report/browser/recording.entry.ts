import { embedded } from '../../web/browser/embedded.js'
import type { RecordingData } from '../pageData.js'
import { startChooser } from './chooser.js'
import { type Clip, unpackClip } from './clip.js'
import { startControls } from './controls.js'
import { startGestures } from './gestures.js'
import { forgetPalette } from './palette.js'
import { startPlayer } from './player.js'
import { rasterPlot } from './raster.js'
import { spectrogramPlot } from './spectrogram.js'
import { speedPlot } from './speed.js'
import { Stage } from './stage.js'
import { wavePlot } from './wave.js'

// Starts a page about one recording or several.
document.documentElement.classList.add('js')
const { clips } = embedded<RecordingData>('recording')
const words = embedded<readonly Readonly<Record<string, string>>[]>('words')
const unpacked = new Map<number, Clip>()
const clipAt = (k: number): Clip => {
  const clip = unpacked.get(k) ?? unpackClip(clips[k]!)
  unpacked.set(k, clip)
  return clip
}
const stage = new Stage(clipAt(0))
const element = (id: string) => document.getElementById(id)!
wavePlot(element('wave'), stage)
speedPlot(element('speed'), element('speed-note'), stage)
spectrogramPlot(element('spectrogram'), element('spectrogram-note'), stage)
rasterPlot(element('raster'), element('raster-note'), stage)
for (const id of ['wave', 'speed', 'spectrogram']) startGestures(element(id), stage)
startControls(stage, startPlayer(stage))
startChooser(clips, (k) => {
  stage.show(clipAt(k))
  describe(k)
})
describe(0)

function describe(k: number): void {
  for (const [id, text] of Object.entries(words[k]!)) element(id).setAttribute('aria-label', text)
}

const repaint = () => {
  forgetPalette()
  stage.look()
}
matchMedia('(prefers-color-scheme: dark)').addEventListener('change', repaint)
matchMedia('print').addEventListener('change', repaint)
