// Opens a page made by tankodds in Chromium and checks it: valid HTML, nothing
// that axe-core objects to (light and dark, at three widths), nothing wider
// than the window, no error, no request, values that can be read off, and all
// of it there without scripts.
//
//   node check.mjs report.html [--shots FOLDER]
//
// With --shots it leaves pictures of every state, and the page as printed.
import { mkdir, readFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { HtmlValidate } from 'html-validate';
import { axe, fail, launch, look as looked, wrong } from './common.mjs';

const widths = [360, 768, 1280];

const args = process.argv.slice(2);
const at = args.indexOf('--shots');
const shots = at < 0 ? '' : resolve(args.splice(at, 2)[1]);
if (args.length !== 1) {
  console.error('usage: node check.mjs report.html [--shots FOLDER]');
  process.exit(2);
}
const file = resolve(args[0]);
const url = pathToFileURL(file).href;
async function valid(html) {
  // What an SVG may carry and a document may not, or the other way about, is
  // not this validator's field: style attributes are what drawings are made of.
  const rules = { extends: ['html-validate:standard', 'html-validate:a11y'], rules: { 'no-inline-style': 'off' } };
  const report = await new HtmlValidate(rules).validateString(html, file);
  for (const result of report.results) {
    for (const m of result.messages) fail(`html ${m.line}:${m.column} ${m.ruleId}: ${m.message}`);
  }
}

// open makes a page that notes errors and refuses and notes every request but
// the one for the file itself.
async function open(context, name) {
  const page = await context.newPage();
  page.on('console', (m) => { if (['error', 'warning'].includes(m.type())) fail(`${name}: console: ${m.text()}`); });
  page.on('pageerror', (e) => fail(`${name}: ${e.message}`));
  await page.route('**/*', (route) => {
    if (route.request().url() === url) return route.continue();
    fail(`${name}: asks for ${route.request().url()}`);
    return route.abort();
  });
  await page.goto(url);
  return page;
}

// look checks the page as it now is, and leaves a picture where one is wanted.
async function look(page, name) {
  await looked(page, name);
  if (shots) await page.screenshot({ path: join(shots, name + '.png'), fullPage: true });
}

// reads checks that a pointer and the keys read values off every figure that
// has them, and that what is read changes along the figure.
async function reads(page, name) {
  const readers = await page.locator('.reader').all();
  if (readers.length === 0) fail(`${name}: nothing can be read off any figure`);
  for (const reader of readers) {
    const words = reader.locator('xpath=ancestor::figure').locator('.reading');
    const said = [];
    await reader.scrollIntoViewIfNeeded();
    const box = await reader.boundingBox();
    for (const share of [0.35, 0.6]) {
      await page.mouse.move(box.x + share * box.width, box.y + box.height / 2);
      said.push(await words.textContent());
    }
    await page.mouse.move(0, 0);
    said.push(await words.textContent());
    await reader.focus();
    await page.keyboard.press('End');
    said.push(await words.textContent());
    if (new Set(said).size !== said.length || said.some((s) => !s)) fail(`${name}: what is read off does not follow the pointer: ${said.join(' | ')}`);
    if (await reader.getAttribute('aria-valuetext') !== said[3]) fail(`${name}: a screen reader is not told what is read off`);
    await page.keyboard.press('Tab');
  }
}

// bare checks that without scripts nothing is missing but the reading.
async function bare(browser) {
  const context = await browser.newContext({ javaScriptEnabled: false, viewport: { width: 768, height: 900 } });
  const page = await open(context, 'without scripts');
  if (await page.locator('.reader').count() > 0) fail('without scripts: a reader is there that cannot work');
  for (const what of ['.answer', 'table caption', 'figcaption', '.drawing .wide svg', 'footer']) {
    const all = await page.locator(what).all();
    if (all.length === 0) fail(`without scripts: no ${what}`);
    for (const x of all) if (!await x.isVisible()) fail(`without scripts: a ${what} is not shown`);
  }
  await context.close();
}

if (shots) await mkdir(shots, { recursive: true });
await valid(await readFile(file, 'utf8'));
const browser = await launch();
try {
  const context = await browser.newContext();
  const page = await open(context, 'the page');
  await page.evaluate(axe);
  for (const colorScheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme });
    for (const width of widths) {
      await page.setViewportSize({ width, height: 900 });
      await look(page, `${colorScheme}-${width}`);
      if (colorScheme === 'light') await reads(page, `${width}`);
    }
    if (!shots) continue;
    for (const format of ['A4', 'Letter']) await page.pdf({ path: join(shots, `${colorScheme}-${format}.pdf`), format });
  }
  await context.close();
  await bare(browser);
} finally {
  await browser.close();
}
if (wrong.length > 0) {
  console.error(`${args[0]}: ${wrong.length} things are wrong`);
  process.exit(1);
}
console.log(`${args[0]}: valid, accessible, complete without scripts, and asks for nothing`);
