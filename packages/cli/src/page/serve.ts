import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { InputError } from '@everyrev/core/errors'
import type { PageFile } from './installable.js'

/**
 * Serves the files of the page on this computer alone, which browsers trust as they trust https.
 *
 * @param port 0 for any that is free
 * @returns its address, and what ends when the server does
 * @throws {InputError} where the port is taken or may not be used
 */
export async function servePage(
  files: readonly PageFile[],
  port: number,
): Promise<{ readonly url: string; readonly ended: Promise<void> }> {
  const server = createServer(({ url = '/', method }, answer) => {
    const name = new URL(url, 'http://localhost').pathname.slice(1) || 'index.html'
    const file = files.find((f) => f.name === name)
    if (!file || (method !== 'GET' && method !== 'HEAD')) return answer.writeHead(file ? 405 : 404).end()
    answer.writeHead(200, { 'content-type': file.type, 'cache-control': 'no-cache' })
    answer.end(method === 'HEAD' ? undefined : file.content)
  })
  await new Promise<void>((resolve, reject) => {
    server.once('error', ({ code }: NodeJS.ErrnoException) => {
      const found = code === 'EADDRINUSE' ? 'is taken' : `cannot be used (${code})`
      reject(new InputError('unreadable', `port ${port} ${found}`, 'name another, as in --serve 8081'))
    })
    server.listen(port, '127.0.0.1', resolve)
  })
  const ended = new Promise<void>((resolve) => server.once('close', resolve))
  return { url: `http://localhost:${(server.address() as AddressInfo).port}/`, ended }
}
