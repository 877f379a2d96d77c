import type { SortKey } from '../../grade/order.js'
import type { ReportOptions } from '../reportOptions.js'

/** What the command line says of a run of `grade`. */
export interface GradeOptions extends ReportOptions {
  readonly recursive?: true
  readonly sort: SortKey
  readonly csv?: string
  readonly json?: true
  readonly groupBy?: string
  readonly expectRpm?: readonly [number, number]
  readonly jobs: number
  readonly cache: boolean
  readonly watch?: true
  readonly progress: boolean
}
