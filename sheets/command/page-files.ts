import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { FilesBeside } from '../page/files-beside.ts'
import { Refusal } from './shell.ts'

/** A sheet that a page is given on its way. */
export interface SheetInside {
  readonly name: string
  readonly text: string
  /** The files that its tables and variants name, by the names it writes. */
  readonly files?: FilesBeside
}

/** Where the built page lies: beside the built command, or where the command runs from its source. */
const PLACES = ['./page/', '../../dist/page/']

function folder(): string {
  const found = PLACES.map(place => fileURLToPath(new URL(place, import.meta.url))).find(place =>
    existsSync(`${place}index.html`),
  )
  if (found === undefined) throw new Refusal('The page has not been built yet: npm run build makes it.')
  return found
}

const TYPES: Readonly<Record<string, string>> = {
  html: 'text/html; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  css: 'text/css; charset=utf-8',
}

export interface PageFile {
  readonly type: string
  readonly content: string
}

/** The files of the page by the names they are asked for; `/` is the page itself with the sheet inside. `place` is where it was built. */
export function pageFiles(inside: SheetInside | null, place: string = folder()): ReadonlyMap<string, PageFile> {
  const names = readdirSync(place).filter(name => !name.startsWith('single') && Object.hasOwn(TYPES, ending(name)))
  const files = new Map(
    names.map(name => [`/${name}`, { type: TYPES[ending(name)]!, content: readFileSync(`${place}${name}`, 'utf8') }]),
  )
  const index = files.get('/index.html')!
  const page = { ...index, content: index.content.replace('</head>', () => `${insideElement(inside)}</head>`) }
  files.delete('/index.html')
  return files.set('/', page)
}

function ending(name: string): string {
  return name.slice(name.lastIndexOf('.') + 1)
}

/** The whole page as one file that runs from a disk or a mail, the sheet inside; its policy allows just what is in it. */
export function singlePage(inside: SheetInside | null, place: string = folder()): string {
  const read = (name: string): string => readFileSync(`${place}${name}`, 'utf8')
  const [script, worker, style] = [inScript(read('single.js')), inScript(read('single-worker.js')), read('page.css')]
  const policy = [
    "default-src 'none'",
    `script-src ${hash(script)}`,
    'worker-src blob:',
    `style-src ${hash(style)}`,
    'img-src blob: data:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ')
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="${policy}">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    '<meta name="color-scheme" content="light dark">',
    '<title>Loftsheet</title>',
    '<link rel="icon" href="data:,">',
    `<style>${style}</style>`,
    insideElement(inside),
    '</head>',
    '<body>',
    '<noscript>This page works its sheets out here in the browser, and needs scripts for it.</noscript>',
    `<script type="text/plain" id="worker-inside">${worker}</script>`,
    `<script type="module">${script}</script>`,
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

/** A sheet as data that no reader of the page takes for markup. */
function insideElement(inside: SheetInside | null): string {
  if (!inside) return ''
  const data = JSON.stringify(inside).replaceAll('<', '\\u003c').replaceAll('\u2028', '\\u2028')
  return `<script type="application/json" id="sheet-inside">${data}</script>\n`
}

/** A script as it may stand inside a page: nothing in it ends or opens an element. */
function inScript(script: string): string {
  return script.replace(/<(?=\/script|!--|script)/gi, '\\x3C')
}

function hash(content: string): string {
  return `'sha256-${createHash('sha256').update(content, 'utf8').digest('base64')}'`
}
