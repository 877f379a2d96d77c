/** The package has no types of its own. */
declare module 'postject' {
  /** Puts data into a copy of a program, under a name. */
  export function inject(
    file: string,
    name: string,
    data: Uint8Array,
    options: { readonly sentinelFuse: string; readonly machoSegmentName?: string },
  ): Promise<void>
}
