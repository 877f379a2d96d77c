/** Marks of the files that everyrev writes, each at its beginning: what bears one may be written over. */

/** Of a page, among what stands in `<head>`. */
export const PAGE_MARK = '<meta name="generator" content="everyrev">'
/** Of a picture as SVG, before all else. */
export const SVG_MARK = '<!-- Drawn by everyrev -->'
/** Of one as PNG: its field "Software". */
export const PNG_SOFTWARE = 'Software\0everyrev'
/** Of a table of clips: how its first line begins. */
export const CSV_MARK = '\ufeffclip,group,grade,sure,'
