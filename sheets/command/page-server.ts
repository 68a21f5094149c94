import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { PageFile } from './page-files.ts'
import { Refusal } from './shell.ts'

/** Only this machine can ask. */
const HOST = '127.0.0.1'
const NAMES = [HOST, 'localhost', '[::1]']

/** The page may load its own files and nothing else, and ask nobody anything. */
const POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "worker-src 'self'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ')

/**
 * Serves these files, and no other, on this machine's loopback address; `port` 0 takes a free one. Whoever asks by another name than this
 * machine's is refused, so that no page from elsewhere can read along.
 */
export function servePage(files: ReadonlyMap<string, PageFile>, port: number): Promise<Server> {
  const server = createServer((request, response) => answer(request, response, files))
  return new Promise((done, failed) => {
    server.once('error', error => {
      const taken = 'code' in error && error.code === 'EADDRINUSE'
      failed(new Refusal(`Port ${port} ${taken ? 'is taken' : 'cannot be used'}; leave --port out for a free one.`))
    })
    server.listen(port, HOST, () => done(server))
  })
}

/** The port that a server listens on. */
export function portOf(server: Server): number {
  const address = server.address()
  return typeof address === 'object' && address ? address.port : 0
}

function answer(request: IncomingMessage, response: ServerResponse, files: ReadonlyMap<string, PageFile>): void {
  const say = (status: number, type: string, content: string): void => {
    response.writeHead(status, {
      // RFC 9110, 15.5.6: who is told that this is no way of asking is told which are.
      ...(status === 405 ? { Allow: 'GET, HEAD' } : {}),
      'Content-Type': type,
      'Content-Security-Policy': POLICY,
      'X-Content-Type-Options': 'nosniff',
      'Referrer-Policy': 'no-referrer',
      'Cross-Origin-Opener-Policy': 'same-origin',
      'Cross-Origin-Resource-Policy': 'same-origin',
      'Cache-Control': 'no-store',
    })
    response.end(request.method === 'HEAD' ? undefined : content)
  }
  const plain = (status: number, words: string): void => say(status, 'text/plain; charset=utf-8', `${words}\n`)
  // RFC 9110, 4.2.3: small and capital letters of a host are the same; RFC 9112, 3.2: of several hosts none is to be trusted.
  const host = (request.headers.host ?? '').toLowerCase().replace(/:\d+$/, '')
  const several = (request.headersDistinct.host?.length ?? 0) > 1
  // Names are looked up whole in a fixed list: no path can climb out of it.
  const file = files.get((request.url ?? '').split('?')[0]!)
  if (several) plain(400, 'This asks two hosts at once.')
  else if (!NAMES.includes(host))
    plain(403, 'This page is for this machine only. Open it by the address that loftsheet page told.')
  else if (request.method !== 'GET' && request.method !== 'HEAD') plain(405, 'This page can only be read.')
  else if (!file) plain(404, 'There is no such file here.')
  else say(200, file.type, file.content)
}
