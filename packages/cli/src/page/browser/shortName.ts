/** A recording made here goes by the time of day: date and side are told beside it. */
export function shortName(name: string): string {
  const [, hour, minute, second] =
    /^\d{4}-\d\d-\d\d-(\d\d)(\d\d)(\d\d)-(?:before|after)\.wav$/.exec(name) ?? []
  return hour === undefined ? name : `recorded ${hour}:${minute}:${second}`
}
