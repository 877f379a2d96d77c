import { isAbsolute, join } from 'node:path'
import { pathsOfUser } from './userPaths.js'

/** Where the settings of the user lie: `$XDG_CONFIG_HOME/everyrev/config.yaml` and the like; null without a home. */
export async function configFile(): Promise<string | null> {
  const { config } = (await pathsOfUser()) ?? {}
  return config !== undefined && isAbsolute(config) ? join(config, 'config.yaml') : null
}
