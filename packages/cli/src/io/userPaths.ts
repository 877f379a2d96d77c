/** Folders of the user by the operating system's own custom, XDG's on Linux; null without a home. */
export async function pathsOfUser(): Promise<{ readonly cache: string; readonly config: string } | null> {
  try {
    // Asks for the home folder as soon as it is loaded.
    const { default: envPaths } = await import('env-paths')
    return envPaths('everyrev', { suffix: '' })
  } catch {
    return null
  }
}
