import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { get, type IncomingMessage } from 'node:http'
import { connect, type Socket } from 'node:net'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type FilesFound, filesOf } from '../../sheets/command/page-beside.ts'
import { pageFiles, singlePage } from '../../sheets/command/page-files.ts'
import { portOf, servePage } from '../../sheets/command/page-server.ts'
import { openSheet } from '../../sheets/index.ts'
import { ownFolder } from '../support/folders.ts'
import { command, folderWith, quietShell } from './stand-in.ts'

const place = `${ownFolder('served')}/`
writeFileSync(`${place}index.html`, '<head></head><body></body>')
writeFileSync(`${place}page.css`, 'body { color: red }')
writeFileSync(`${place}page.js`, 'page()')
writeFileSync(`${place}single-worker.js`, 'const x = "</script><!--"')
writeFileSync(`${place}single.js`, 'const y = "</SCRIPT>"')
writeFileSync(`${place}secret.txt`, 'secret')
const inside = { name: 'a.loft', text: 'fact a = 1 # </script><script>alert(1)</script>' }

const server = await servePage(pageFiles(inside, place), 0)
let port = 0
beforeAll(() => {
  port = portOf(server)
})
afterAll(() => void server.close())

function asked(
  path: string,
  headers: Record<string, string> = {},
  method = 'GET',
): Promise<[number, string, IncomingMessage]> {
  return new Promise((done, failed) => {
    const request = get({ host: '127.0.0.1', port, path, headers, method }, response => {
      let body = ''
      response.setEncoding('utf8')
      response.on('data', part => {
        body += part
      })
      response.on('end', () => done([response.statusCode!, body, response]))
    })
    request.on('error', failed)
  })
}

test('the page and its files are served with a policy that lets nothing else in', async () => {
  const [status, body, { headers }] = await asked('/')
  expect(status).toBe(200)
  expect(body).toContain('id="sheet-inside"')
  expect(headers['content-security-policy']).toMatch(/^default-src 'none'; script-src 'self';/)
  expect(headers['content-security-policy']).not.toContain('unsafe')
  expect(headers['x-content-type-options']).toBe('nosniff')
  expect((await asked('/page.js'))[1]).toBe('page()')
  expect((await asked('/page.css'))[2].headers['content-type']).toMatch(/^text\/css/)
  expect((await asked('/', {}, 'HEAD'))[1]).toBe('')
})

test('no other name of host, no other way of asking, no other file', async () => {
  for (const host of ['evil.example', `evil.example:${port}`, '127.0.0.1.evil.example'])
    expect((await asked('/', { host }))[0], host).toBe(403)
  for (const host of [`127.0.0.1:${port}`, `localhost:${port}`, `LOCALHOST:${port}`, '[::1]'])
    expect((await asked('/', { host }))[0], host).toBe(200)
  for (const way of ['POST', 'PUT', 'DELETE', 'OPTIONS', 'TRACE']) {
    const [status, , { headers }] = await asked('/', {}, way)
    expect([status, headers.allow], way).toEqual([405, 'GET, HEAD'])
  }
  for (const path of [
    '/secret.txt',
    '/../package.json',
    '/%2e%2e/package.json',
    '/..%2fpackage.json',
    '//etc/passwd',
    '/single.js',
    '/single-worker.js',
    '/__proto__',
    '/index.html',
  ])
    expect((await asked(path))[0], path).toBe(404)
})

/** What a server says to bytes as they are. */
function said(bytes: string): Promise<string> {
  return new Promise((done, failed) => {
    let heard = ''
    const socket = connect(port, '127.0.0.1', () => socket.end(bytes))
    socket.setEncoding('utf8').on('data', part => {
      heard += part
    })
    socket.on('close', () => done(heard.split('\r\n')[0]!)).on('error', failed)
  })
}

test('what is no plain asking is refused, and the next who asks is served', async () => {
  const host = `Host: 127.0.0.1:${port}\r\nConnection: close\r\n`
  for (const [bytes, status] of [
    [`GET / HTTP/1.1\r\n${host}Host: evil.example\r\n\r\n`, '400'],
    ['GET / HTTP/1.1\r\nConnection: close\r\n\r\n', '400'],
    ['GET / HTTP/1.0\r\n\r\n', '403'],
    [`GET / HTTP/1.1\r\n${host}X: ${'a'.repeat(20_000)}\r\n\r\n`, '431'],
    [`GET /${'a'.repeat(20_000)} HTTP/1.1\r\n${host}\r\n`, '431'],
    ['\u0016\u0003\u0001\r\n\r\n', '400'],
    [`GET http://evil.example/ HTTP/1.1\r\n${host}\r\n`, '404'],
    [`GET / HTTP/1.1\r\n${host}\r\n`, '200'],
  ] as const)
    expect(await said(bytes), bytes.slice(0, 60)).toContain(`HTTP/1.1 ${status} `)
})

test('two hundred who begin and say no more keep nobody from the page', async () => {
  const slow = await Promise.all(
    Array.from(
      { length: 200 },
      () =>
        new Promise<Socket>(done => {
          const socket = connect(port, '127.0.0.1', () => socket.write('GET / HT', () => done(socket)))
          socket.on('error', () => {})
        }),
    ),
  )
  expect((await asked('/'))[0]).toBe(200)
  for (const socket of slow) socket.destroy()
})

test('it listens on the loopback address alone', () => {
  expect(server.address()).toMatchObject({ address: '127.0.0.1' })
})

test('in one file nothing of a sheet or a script ends its element, and the policy allows just what is inside', () => {
  const page = singlePage(inside, place)
  const scripts = [...page.matchAll(/<script\b[^>]*>([\s\S]*?)<\/script>/g)].map(each => each[1]!)
  expect(scripts).toEqual([
    JSON.stringify(inside).replaceAll('<', '\\u003c'),
    'const x = "\\x3C/script>\\x3C!--"',
    'const y = "\\x3C/SCRIPT>"',
  ])
  expect(JSON.parse(scripts[0]!)).toEqual(inside)
  expect(page).toMatch(/script-src 'sha256-[\w+/=]{44}'; worker-src blob:; style-src 'sha256-[\w+/=]{44}'/)
  expect(page).not.toContain('unsafe')
})

const DRAG = 'table drag of mach from "drag.csv"\nlever m from 0 to 1\nvariants from "data/some.csv"\n'

test('the files that a sheet names go with it, from its own folder as ever, and what is left out is told', async () => {
  const hostile = 'mach,drag\n0,1\n1,2 # </script><script>alert(1)</script>\n'
  const folder = folderWith({
    'own.loft': DRAG,
    'drag.csv': `\ufeff${hostile}`,
    'lone.loft': DRAG.replace('drag.csv', '../x.csv'),
  })
  mkdirSync(join(folder, 'data'))
  writeFileSync(join(folder, 'data/some.csv'), 'm\n0.5\n')
  const found = async (name: string): Promise<FilesFound> =>
    filesOf(
      { text: readFileSync(join(folder, name), 'utf8'), name, path: join(folder, name), folder },
      false,
      quietShell(openSheet),
    )
  const own = await found('own.loft')
  expect(own).toEqual({ files: { 'drag.csv': hostile, 'data/some.csv': 'm\n0.5\n' }, left: [] })
  const single = singlePage({ name: 'own.loft', text: DRAG, files: own.files }, place)
  const [data] = [...single.matchAll(/<script\b[^>]*>([\s\S]*?)<\/script>/g)].map(each => each[1]!)
  expect(JSON.parse(data!)).toEqual({ name: 'own.loft', text: DRAG, files: own.files })
  expect(single).not.toContain('alert(1)</script>')
  writeFileSync(join(folder, 'data/some.csv'), `m\n${'0.5\n'.repeat(2_100_000)}`)
  expect(await found('lone.loft')).toEqual({
    files: {},
    left: [
      'The page goes without ../x.csv: it lies outside the folder of the sheet. Move it there, or allow it with --allow-outside.',
      'The page goes without data/some.csv: a page carries no more than 8 MB of files beside its sheet.',
    ],
  })
})

test('a wrong port, a wrong ending, a missing sheet are plain sentences', async () => {
  const folder = folderWith({ 'heron.loft': 'sheet "Heron"\n' })
  const said = async (...words: readonly string[]): Promise<string> => {
    const ran = await command(['page', ...words], {}, { folder })
    expect(ran.status).toBe(2)
    return ran.messages
  }
  expect(await said('heron.loft', '--port', 'x')).toBe(
    'loftsheet: "--port x" is no port; write a whole number up to 65535.\n',
  )
  expect(await said('heron.loft', '--out', 'x.pdf')).toContain(
    'not a kind of file that page writes; name one that ends in .html.',
  )
  expect(await said('none.loft')).toBe('loftsheet: none.loft cannot be read: there is no such file.\n')
})
