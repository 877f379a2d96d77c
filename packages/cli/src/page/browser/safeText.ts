import { options, type VNode } from 'preact'
import { escapeControls } from '../../render/escape.js'

/** Attributes that people read or hear. */
const READ = ['title', 'aria-label', 'alt', 'placeholder'] as const
/** Keeps "->" on one line; the page's own, invisible and harmless. */
const JOINER = '\u2060'

/**
 * Has every text that the page shows or says pass {@link escapeControls}, wherever it comes from: names of files, words of logs,
 * messages made of them. What stands in form fields stays as it is.
 */
export function showTextSafely(): void {
  const next = options.vnode
  options.vnode = (vnode) => {
    const node = vnode as { type: unknown; props: unknown }
    if (typeof node.props === 'string') node.props = safe(node.props)
    else if (typeof node.type === 'string') mendAttributes(node.props as Record<string, unknown>)
    next?.(vnode as VNode)
  }
}

function mendAttributes(props: Record<string, unknown>): void {
  for (const name of READ) {
    const text = props[name]
    if (typeof text === 'string') props[name] = safe(text)
  }
}

function safe(text: string): string {
  return text.split(JOINER).map(escapeControls).join(JOINER)
}
