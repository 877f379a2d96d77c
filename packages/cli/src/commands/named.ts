import { EXIT, type ExitCode, FileError } from '../exit.js'

/** Names the log in every refusal that does not name a file of its own. */
export async function named(file: string, act: () => Promise<void>): Promise<ExitCode> {
  try {
    await act()
    return EXIT.done
  } catch (error) {
    throw error instanceof FileError ? error : new FileError(file, error)
  }
}
