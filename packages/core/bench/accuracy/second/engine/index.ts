export { targetSpeedHz } from './drive.js'
export { soundMps } from './gas.js'
export { runEngine } from './runEngine.js'
export type { Drive, DriveSpan, EngineRun, EngineSpec, RunState } from './types.js'
