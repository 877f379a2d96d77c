/**
 * What the library throws on purpose: enough for a program that only has to know its errors.
 *
 * @module @everyrev/core/errors
 */

/** Codes of everything the library refuses; the message says what was found, what was expected and the way out. */
export type InputErrorCode =
  | 'unreadable'
  | 'unsupported-format'
  | 'no-samples'
  | 'too-short'
  | 'silent'
  | 'not-finite'
  | 'damaged-log'

export type OptionErrorCode = 'out-of-range' | 'conflict' | 'unknown-unit'

/** Root of all errors thrown on purpose; anything else that throws is a bug. */
export class AnalysisError extends Error {
  readonly code: InputErrorCode | OptionErrorCode
  /** What to do about it, in one sentence; absent where the message already says so. */
  readonly hint: string | undefined

  constructor(code: InputErrorCode | OptionErrorCode, message: string, hint?: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause })
    this.name = new.target.name
    this.code = code
    this.hint = hint
  }
}

/** The bytes or samples cannot be analysed. */
export class InputError extends AnalysisError {
  declare readonly code: InputErrorCode
  constructor(code: InputErrorCode, message: string, hint?: string, cause?: unknown) {
    super(code, message, hint, cause)
  }
}

/** An option lies outside its range or contradicts another. */
export class OptionError extends AnalysisError {
  declare readonly code: OptionErrorCode
  constructor(code: OptionErrorCode, message: string, hint?: string, cause?: unknown) {
    super(code, message, hint, cause)
  }
}
