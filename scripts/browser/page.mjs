// Goes through the local page of tankodds in Chromium as its users do, and checks what
// they see.
//
//   node page.mjs PROGRAM [--shots FOLDER]
//
// PROGRAM is the program that was built. With --shots it leaves pictures of five moments
// at two widths, light and dark.
import { execFile, spawn } from 'node:child_process';
import { copyFile, mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { axe, fail, launch, look, wrong } from './common.mjs';

const run = promisify(execFile);
const args = process.argv.slice(2);
const at = args.indexOf('--shots');
const shots = at < 0 ? '' : resolve(args.splice(at, 2)[1]);
if (args.length !== 1) {
  console.error('usage: node page.mjs PROGRAM [--shots FOLDER]');
  process.exit(2);
}
const program = resolve(args[0]);
const testdata = resolve(dirname(fileURLToPath(import.meta.url)), '../../testdata');
const york = join(testdata, 'new-york.dly.gz');
const seattle = join(testdata, 'seattle-weather.csv');
const folder = await mkdtemp(join(tmpdir(), 'tankodds-page-'));

function check(holds, text) { if (!holds) fail(text); }
const pause = (ms) => new Promise((done) => { setTimeout(done, ms); });

// serve starts the program's page.
async function serve(...more) {
  const child = spawn(program, ['page', '--no-browser', ...more], { stdio: ['ignore', 'pipe', 'inherit'] });
  const address = await new Promise((found, lost) => {
    let text = '';
    child.stdout.on('data', (part) => {
      text += part;
      const m = text.match(/http:\S+/);
      if (m) found(m[0]);
    });
    child.on('exit', () => lost(new Error('the program ended: ' + text)));
  });
  return { address, stop: () => new Promise((done) => { child.on('exit', done); child.kill('SIGINT'); }) };
}

// open opens the page and notes whatever a page should not do.
async function open(context, address, name) {
  const page = await context.newPage();
  page.name = name;
  page.silent = false;
  page.on('console', (m) => { if (['error', 'warning'].includes(m.type()) && !page.silent) fail(`${name}: console: ${m.text()}`); });
  page.on('response', (r) => { if (r.status() >= 400 && !page.silent) fail(`${name}: ${r.status()} of ${r.url()}`); });
  page.on('pageerror', (e) => fail(`${name}: ${e.message}`));
  page.on('request', (r) => { if (!/^(data|blob):/.test(r.url()) && !r.url().startsWith(address)) fail(`${name}: asks for ${r.url()}`); });
  await page.goto(address);
  await page.evaluate(axe);
  return page;
}

const settled = /^From [\d,]+ synthetic years\.$/;
async function rest(page) {
  try {
    await page.waitForFunction((form) => new RegExp(form).test(document.getElementById('p-state').textContent), settled.source, { timeout: 30000 });
  } catch {
    fail(`${page.name}: no answer; it says: ${await page.textContent('#p-state')} ${await page.textContent('#p-wrong')} ${await page.textContent('#p-note')}`);
  }
}

// after does something and waits for the whole answer that it leads to.
async function after(page, act) {
  await page.evaluate(() => { document.getElementById('p-state').textContent = 'waiting for the check'; });
  await act();
  await rest(page);
}

// field finds the control of a field and opens what it lies in.
async function field(page, path) {
  const box = page.locator(`.field[data-path="${path}"]`);
  await box.evaluate((x) => { for (let d = x.closest('details'); d; d = d.parentElement.closest('details')) d.open = true; });
  return box.locator('input, select, textarea').first();
}

async function type(page, path, text) {
  const control = await field(page, path);
  if (await control.evaluate((x) => x.tagName) === 'SELECT') await control.selectOption(text);
  else {
    await control.fill(text);
    await control.press('Tab');
  }
}

const site = (page) => page.inputValue('#p-yaml');
const state = (page, name) => page.textContent(name);
const key = async (page) => (await page.locator('#p-sheet #answer .answer').first().textContent()).replaceAll('\u00a0', ' ');

async function setSite(page, text) {
  await page.evaluate(() => { document.querySelector('#p-text details').open = true; });
  await after(page, async () => {
    await page.fill('#p-yaml', text);
    await page.locator('#p-yaml').blur();
  });
}

const small = `name: Elm Street # a remark that stays
rain:
  file: new-york.dly.gz
roofs:
  - area: 1500 sqft # from the drawing
    surface: metal
uses:
  - name: garden
    daily: 40 gal
tank:
  prices: {500 gal: 900, 1500 gal: 1400, 2500 gal: 2100}
  water_price: 12 per 1000 gal
target: {reliability: 0.8}
simulation: {years: 500}
`;

// first checks what stands there before anything was done.
async function first(browser, address) {
  const context = await browser.newContext();
  const page = await open(context, address, 'first load');
  await rest(page);
  check(/100,000/.test(await state(page, '#p-state')), 'first load: the answer is of other than 100,000 years');
  check(await page.isVisible('#p-example'), 'first load: the example is not said to be invented');
  check(/usable years/.test(await state(page, '#p-record-brief')) && await page.isVisible('#brief-fig-record .narrow svg'), 'first load: the record is not told in words and a picture');
  check(/a tank of [\d,]+ L/.test(await key(page)), 'first load: no size is told');
  check((await state(page, '#p-command')) === 'tankodds size site.yaml --out sheet', 'first load: another command stands beside the answer');
  await context.close();
}

// records drops files of real formats onto the page, and others.
async function records(browser, address) {
  const context = await browser.newContext();
  const page = await open(context, address, 'records');
  await rest(page);
  await after(page, () => page.setInputFiles('#p-files', york));
  check((await page.inputValue('#p-record')) === 'new-york.dly.gz' && /file: new-york\.dly\.gz/.test(await site(page)), 'records: the one that was picked is not the site’s');
  check(/USW00094728/.test(await state(page, '#p-record-brief')), 'records: it does not say which record it is');
  check(/^The rain is yours\. The site is still the example’s/.test((await page.innerText('#p-example')).trim()), 'records: what is left of the example is not said to be invented');
  await after(page, () => page.click('#p-own'));
  check(!await page.isVisible('#p-example') && !/Tarn Lane|prices/.test(await site(page)) && /new-york/.test(await site(page)), 'records: a site of one’s own is still the example');
  const bytes = [...await readFile(seattle)];
  page.silent = true; // three years are too short for a size, which is an answer
  await page.evaluate((all) => {
    const data = new DataTransfer();
    data.items.add(new File([new Uint8Array(all)], 'dropped record.csv'));
    document.body.dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
  }, bytes);
  await page.waitForFunction(() => document.getElementById('p-record').value === 'dropped record.csv');
  await rest(page);
  check(/no size is told|usable years/.test(await state(page, '#p-sheet')), 'records: a short one is not told as short');
  for (const [name, body, says] of [
    ['picture.png', Buffer.from('\x89PNG\r\n\x1a\n\0\0\0binary\0'), /not|binary|text/i],
    ['empty.csv', Buffer.from(''), /empty|no /i],
    ['sheet.pdf', Buffer.from('%PDF-1.4\n1 0 obj\n<<>>\n'), /./],
    ['words.txt', Buffer.from('no rain here\nat all\n'), /./],
  ]) {
    const before = await site(page);
    await page.setInputFiles('#p-files', { name, mimeType: 'application/octet-stream', buffer: body });
    await page.waitForFunction((n) => document.getElementById('p-record').value === n, name);
    const text = await page.locator('#p-record-wrong').textContent();
    check(await page.isVisible('#p-record-wrong') && says.test(text) && text.includes(name), `records: ${name} is refused with: ${text}`);
    check(!/--\w/.test(text), `records: the remedy names a flag: ${text}`);
    await after(page, () => page.selectOption('#p-record', 'new-york.dly.gz'));
    check(!await page.isVisible('#p-record-wrong') && before !== '', `records: after ${name} a right one is not taken`);
  }
  await page.setInputFiles('#p-files', { name: 'site.yaml', mimeType: 'text/yaml', buffer: Buffer.from('roofs: [{area: 9 m2, colour: red}]\n') });
  await page.waitForFunction(() => /colour/.test(document.getElementById('p-note').textContent));
  check(/Line 1 of the site file: unknown key/.test(await state(page, '#p-note')), 'records: a wrong site file is not told by its line');
  await page.goBack();
  await rest(page);
  const whole = await site(page);
  await page.setInputFiles('#p-files', { name: 'site.yaml', mimeType: 'text/yaml', buffer: Buffer.from('roofs: [{area: 9 m2\n') });
  await page.waitForFunction(() => /a brace { is opened/.test(document.getElementById('p-note').textContent + document.getElementById('p-record-wrong').textContent));
  check(await site(page) === whole, 'records: a site file that is none takes the place of a good one');
  await after(page, () => type(page, 'name', 'Fir Street'));
  check(/Fir Street/.test(await site(page)), 'records: after a site file that is none nothing can be typed');
  await page.setInputFiles('#p-files', { name: 'unit.csv', mimeType: 'text/csv', buffer: Buffer.from('date,rain\n' + Array.from({ length: 2500 }, (_, i) => new Date(Date.UTC(2001, 0, 1 + i)).toISOString().slice(0, 10) + ',' + (i % 3 ? 0 : 1 + i % 7)).join('\n')) });
  await page.waitForFunction(() => document.querySelector('.field[data-path="rain.unit"]').classList.contains('is-wrong'));
  check(await (await field(page, 'rain.unit')).getAttribute('aria-invalid') === 'true', 'records: a unit that must be told is not asked for at its field');
  await after(page, () => type(page, 'rain.unit', 'mm'));
  check(/unit: mm/.test(await site(page)), 'records: the unit is not in the site file');
  await context.close();
}

// fields types, adds and takes away, rightly and wrongly.
async function fields(browser, address) {
  const context = await browser.newContext();
  const page = await open(context, address, 'fields');
  await rest(page);
  await after(page, () => page.setInputFiles('#p-files', york));
  await setSite(page, small);
  check(/a tank of (about )?[\d,]+ gal/.test(await key(page)), `fields: the site in gallons answers: ${await key(page)}`);
  await after(page, () => type(page, 'roofs.0.area', '2000 sqft'));
  check((await site(page)).includes('area: 2000 sqft # from the drawing'), 'fields: an area that was typed is not in the text with its remark');
  await after(page, () => page.click('.add[data-list="roofs"]'));
  check((await page.locator('.entries[data-list="roofs"] .entry').count()) === 2, 'fields: no second roof was added');
  await after(page, () => type(page, 'roofs.1.area', '300 ft2'));
  await after(page, () => page.locator('.entries[data-list="roofs"] .remove').nth(1).click());
  check((await page.locator('.entries[data-list="roofs"] .entry').count()) === 1 && !(await site(page)).includes('300 ft2'), 'fields: the second roof was not taken away');
  await after(page, () => page.click('.add[data-list="uses"]'));
  await after(page, () => type(page, 'uses.1.daily', '15 gal'));
  await after(page, () => type(page, 'uses.1.days', 'weekends'));
  check(/days: weekends/.test(await site(page)), 'fields: the days of the second use are not in the text');
  await after(page, () => type(page, 'target.measure', 'volume'));
  check(/of the water wanted/.test(await key(page)), 'fields: the measure that was chosen is not answered for');
  await after(page, async () => { // two edits before the first is answered
    await page.evaluate(() => {
      for (const [path, text] of [['uses.0.name', 'yard'], ['name', 'Ash Street'], ['roofs.0.name', 'barn']]) {
        const at = document.querySelector(`.field[data-path="${path}"] input`);
        at.value = text;
        at.dispatchEvent(new Event('change', { bubbles: true }));
      }
    });
    await page.waitForFunction(() => document.getElementById('p-yaml').value.includes('barn'));
  });
  check(/yard/.test(await site(page)) && /Ash Street/.test(await site(page)) && /barn/.test(await site(page)), 'fields: of edits in quick succession one is lost');
  const good = await site(page);
  for (const [path, text, says] of [
    ['roofs.0.area', '150', /unit|ft2|m2/], ['roofs.0.area', 'abc', /./], ['uses.0.daily', '-5 gal', /./],
    ['target.reliability', '1.5', /share|between/], ['rain.since', 'x', /whole number/], ['uses.0.monthly', '[1 L, 2 L]', /twelve|12/],
  ]) {
    await type(page, path, text);
    const box = page.locator(`.field[data-path="${path}"]`);
    await box.locator('.wrong:not([hidden])').waitFor({ timeout: 5000 }).catch(() => fail(`fields: nothing is said at ${path} of ${text}`));
    const told = await box.locator('.wrong').textContent();
    check(says.test(told), `fields: of ${path} ${text} it says: ${told}`);
    const control = await field(page, path);
    check(await control.getAttribute('aria-invalid') === 'true' && (await control.getAttribute('aria-describedby')).includes('wrong'), `fields: ${path} is not marked for a screen reader`);
    check(await control.inputValue() === text, `fields: what was typed at ${path} is lost`);
    check(/No answer/.test(await state(page, '#p-state')), `fields: an old answer stands as if it were of ${path} ${text}`);
    await after(page, () => setText(page, good));
  }
  await context.close();
}

async function setText(page, text) {
  await page.fill('#p-yaml', text);
  await page.locator('#p-yaml').blur();
}

// handles moves them by mouse, finger and keys, and holds late answers back.
async function handles(browser, address) {
  const context = await browser.newContext({ hasTouch: true });
  const page = await open(context, address, 'handles');
  await rest(page);
  const times = [];
  for (let i = 0; i < 8; i++) {
    times.push(await page.evaluate((step) => new Promise((done) => {
      const handle = document.getElementById('h-roof');
      const began = performance.now();
      new MutationObserver((_, o) => { o.disconnect(); requestAnimationFrame(() => done(performance.now() - began)); }).observe(document.getElementById('p-sheet'), { childList: true, subtree: true });
      handle.value = Number(handle.value) + step;
      handle.dispatchEvent(new Event('input', { bubbles: true }));
    }), i % 2 ? -9 : 7));
    await pause(50);
  }
  times.sort((a, b) => a - b);
  console.log(`  a new curve after a handle moved: ${times.map((t) => Math.round(t)).join(', ')} ms`);
  check(times[4] < 1500, `handles: the curve follows after ${times[4]} ms`);
  const before = await site(page);
  const box = await page.locator('#h-roof').boundingBox();
  await after(page, async () => {
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    for (let i = 1; i <= 10; i++) await page.mouse.move(box.x + box.width * (0.5 + 0.03 * i), box.y + box.height / 2);
    await page.mouse.up();
  });
  const moved = await site(page);
  check(moved !== before && /area: \d/.test(moved), 'handles: the site is not what the mouse made of it');
  check((await key(page)).replaceAll('\u00a0', ' ').includes((await state(page, '#h-roof-is')).replaceAll('\u00a0', ' ').split(' ')[0]), 'handles: the answer is of another roof than the handle says');
  await after(page, async () => {
    await page.focus('#h-use');
    for (let i = 0; i < 6; i++) await page.keyboard.press('ArrowLeft');
  });
  check(/L a day/.test(await page.getAttribute('#h-use', 'aria-valuetext')), 'handles: a screen reader is not told the use');
  await after(page, () => page.touchscreen.tap(box.x + box.width * 0.3, box.y + box.height / 2));
  check(await site(page) !== moved, 'handles: a finger does not move them');

  // What comes late never takes the place of what is newer.
  let held = 0;
  await page.route('**/answer', async (route) => {
    if (held++ === 0) await pause(1200);
    await route.continue().catch(() => {});
  });
  await page.evaluate(() => {
    const handle = document.getElementById('h-roof');
    handle.value = 80;
    handle.dispatchEvent(new Event('input', { bubbles: true }));
  });
  await after(page, () => type(page, 'roofs.0.area', '77 m2'));
  await pause(1500);
  check(/77 m²/.test(await key(page)), `handles: an older answer took the place of a newer one: ${await key(page)}`);
  await page.unroute('**/answer');
  await context.close();
}

// curve reads values off it by mouse, finger and keys.
async function curve(browser, address) {
  const context = await browser.newContext({ hasTouch: true });
  const page = await open(context, address, 'curve');
  await rest(page);
  const reader = page.locator('#fig-reliability .reader');
  check(await reader.getAttribute('role') === 'slider', 'curve: it is no slider');
  const said = [];
  const note = async () => said.push(await state(page, '#p-size-name'));
  await reader.scrollIntoViewIfNeeded();
  const box = await reader.boundingBox();
  await page.mouse.move(box.x + 0.5 * box.width, box.y + box.height / 2);
  await note();
  await page.touchscreen.tap(box.x + 0.7 * box.width, box.y + box.height / 2);
  await note();
  await reader.focus();
  for (const press of ['Home', 'ArrowRight', 'PageUp', 'End', 'ArrowLeft']) {
    await page.keyboard.press(press);
    await note();
  }
  check(new Set(said).size === said.length, `curve: what is read off does not follow: ${said.join(', ')}`);
  check(await reader.getAttribute('aria-valuetext') !== '', 'curve: a screen reader is not told the values');
  await page.click('#p-smaller');
  const smaller = await state(page, '#p-size-name');
  await page.click('#p-larger');
  check(smaller !== await state(page, '#p-size-name'), 'curve: Smaller and Larger do nothing');
  await page.click('#p-smaller');
  for (let i = 0; i < 200 && await state(page, '#p-size-name') !== '10,000 L'; i++) await page.click('#p-smaller:not(:disabled)');
  const text = await state(page, '#p-size-text');
  for (const says of [/10,000.L gives/, /days are short/, /It costs 2,600/, /One size up, 12,500.L/, /One size down, 7,500.L/]) check(says.test(text), `curve: of 10,000 L it does not say ${says}: ${text}`);
  await page.waitForFunction(() => /10,000.L/.test(document.getElementById('p-year-sheet').textContent));
  check(await page.locator('#p-year-sheet svg').count() > 0 && /tankodds replay site\.yaml --tank 10000L/.test(await state(page, '#p-year-sheet')), 'curve: the year of the size is not shown, or not the command');
  await context.close();
}

// keeping saves, opens, downloads, goes back, reloads, and turns units over.
async function keeping(browser, address) {
  const context = await browser.newContext({ acceptDownloads: true });
  const page = await open(context, address, 'keeping');
  await rest(page);
  await after(page, () => page.setInputFiles('#p-files', york));
  await setSite(page, small);
  const text = await site(page);
  check(text === small, 'keeping: the text of a site is not kept as it is');
  await after(page, () => page.check('input[name="units"][value="si"]'));
  check(await site(page) === small, 'keeping: other units change the site');
  check(/139 m2/.test(await (await field(page, 'roofs.0.area')).inputValue()), `keeping: the area in metric units is ${await (await field(page, 'roofs.0.area')).inputValue()}`);
  check(/ L /.test((await key(page)).replaceAll('\u00a0', ' ')), 'keeping: the answer is not in litres');
  await after(page, () => page.check('input[name="units"][value="us"]'));
  check((await (await field(page, 'roofs.0.area')).inputValue()) === '1500 sqft', 'keeping: the area does not come back');

  const saved = async (act) => {
    const [download] = await Promise.all([page.waitForEvent('download'), act()]);
    return readFile(await download.path());
  };
  const kept = await saved(() => page.click('#p-save'));
  check(kept.toString() === small, 'keeping: what is saved is not the text');
  const command = (await state(page, '#p-command')).split(' ');
  check(command.slice(0, 3).join(' ') === 'tankodds size site.yaml', `keeping: the command is ${command.join(' ')}`);
  await writeFile(join(folder, 'site.yaml'), kept);
  await writeFile(join(folder, 'new-york.dly.gz'), await saved(() => page.click('#p-records a')));
  await run(program, [...command.slice(1), '--quiet'], { cwd: folder });
  for (const link of await page.locator('#p-downloads a').all()) {
    const name = await link.textContent();
    check((await saved(() => link.click())).equals(await readFile(join(folder, 'sheet', name))), `keeping: ${name} is not what the command writes`);
  }
  check(await page.locator('#p-downloads a').count() === 4, 'keeping: four files are not given away');

  await after(page, () => type(page, 'roofs.0.area', '900 sqft'));
  await after(page, () => type(page, 'uses.0.daily', '30 gal'));
  await after(page, () => page.goBack());
  check((await site(page)).includes('900 sqft') && (await site(page)).includes('40 gal'), 'keeping: back is not one step back');
  await after(page, () => page.goForward());
  check((await site(page)).includes('30 gal'), 'keeping: forward is not one step forward');
  const there = await site(page);
  await page.reload();
  await page.evaluate(axe);
  await rest(page);
  check(await site(page) === there, 'keeping: a reload loses the site');
  const again = await open(context, address, 'another tab');
  await rest(again);
  check(await site(again) === there, 'keeping: a tab that was closed is lost');
  await after(again, () => type(again, 'name', 'Oak Street'));
  await page.reload();
  await page.evaluate(axe);
  await rest(page);
  check(!(await site(page)).includes('Oak Street') && (await site(again)).includes('Oak Street'), 'keeping: two tabs are one');
  await again.close();

  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.click('#p-open')]);
  await after(page, () => chooser.setFiles(join(folder, 'site.yaml')));
  check(await site(page) === small, 'keeping: a site that is opened is not as it was saved');
  await context.close();
}

// restarts ends the program under an open page, and begins it anew.
async function restarts(browser) {
  let served = await serve();
  const context = await browser.newContext();
  const page = await open(context, served.address, 'restart');
  await rest(page);
  const port = new URL(served.address).port;
  await served.stop();
  page.silent = true;
  await type(page, 'name', 'Elm Street');
  await page.waitForFunction(() => /does not answer/.test(document.getElementById('p-note').textContent));
  check(/start it again with tankodds page/.test(await state(page, '#p-note')), 'restart: it does not say what to do');
  served = await serve('--port', port);
  page.silent = false;
  page.silent = true; // that a record is missed is a reply of its own, which the console tells
  await after(page, () => type(page, 'name', 'Oak Street'));
  check(/Oak Street/.test(await state(page, '#p-sheet')), 'restart: the page does not go on');
  await context.close();
  await served.stop();
}

// many lays records and versions side by side.
async function many(browser, address) {
  const context = await browser.newContext();
  const page = await open(context, address, 'many');
  await rest(page);
  check(await page.isDisabled('#p-many-go'), 'many: one record can be compared');
  await after(page, () => page.setInputFiles('#p-files', york));
  await setSite(page, small);
  await page.setInputFiles('#p-files', [seattle]);
  await page.waitForFunction(() => document.querySelectorAll('#p-many-files input').length === 3);
  await after(page, () => page.selectOption('#p-record', 'new-york.dly.gz'));
  for (const names of [['carrow-hill.csv', 'new-york.dly.gz'], ['carrow-hill.csv', 'new-york.dly.gz', 'seattle-weather.csv']]) {
    for (const x of await page.locator('#p-many-files input').all()) await x.setChecked(names.includes(await x.inputValue()));
    await page.click('#p-many-go');
    const command = `tankodds compare site.yaml ${names.join(' ')} --out compared`;
    await page.waitForFunction((c) => document.getElementById('p-many-command').textContent === c, command, { timeout: 20000 }).catch(async () => fail(`many: ${names.length} records are not compared: ${await state(page, '#p-many-state')} ${await state(page, '#p-many-wrong')} ${await state(page, '#p-many-command')}`));
    check(await page.locator('#p-many-sheet tbody tr').count() >= names.length && await page.locator('#many-fig-compare svg').count() > 0, `many: ${names.length} records have no rows or no figure`);
  }
  await after(page, () => page.click('button[aria-label="Remove seattle-weather.csv"]'));
  check(await page.locator('#p-many-files input').count() === 2 && await page.locator('#p-record option[value="seattle-weather.csv"]').count() === 0, 'many: a record cannot be taken away');
  await page.click('#p-version');
  check(/This version is kept/.test(await state(page, '#p-versions')), 'many: a version is not kept');
  await after(page, () => type(page, 'roofs.0.area', '2500 sqft'));
  await page.waitForFunction(() => /The version now needs|Both versions need/.test(document.getElementById('p-versions').textContent), null, { timeout: 10000 }).catch(() => fail('many: two versions are not laid side by side'));
  check(/1,500.ft²/.test(await state(page, '#p-versions')) && /2,500.ft²/.test(await state(page, '#p-versions')), 'many: the versions’ roofs are not told');
  await look(page, 'many');
  await context.close();
}

// looks checks how it looks at two widths, light and dark, and leaves the pictures.
async function looks(browser, address) {
  for (const colorScheme of ['light', 'dark']) {
    for (const width of [360, 1600]) {
      const name = `${colorScheme}-${width}`;
      if (!shots && !['light-360', 'dark-1600'].includes(name)) continue; // what neither has, the others have not
      const context = await browser.newContext({ colorScheme, viewport: { width, height: 900 }, hasTouch: width < 500 });
      const page = await open(context, address, name);
      const shot = async (moment, to) => {
        await look(page, `${name} ${moment}`);
        if (!shots) return;
        if (to) await page.locator(to).first().scrollIntoViewIfNeeded();
        await pause(300);
        await page.screenshot({ path: join(shots, `${moment}-${name}.png`), fullPage: !to });
      };
      await rest(page);
      await page.waitForFunction(() => document.querySelector('#p-year-sheet svg'));
      await shot('1-first');
      await after(page, () => page.setInputFiles('#p-files', york));
      await shot('2-record', '#p-record-brief');
      await type(page, 'roofs.0.area', '150');
      await page.locator('.is-wrong').first().waitFor();
      await shot('3-wrong', '.is-wrong');
      await setSite(page, small);
      await after(page, async () => { await page.focus('#h-roof'); await page.keyboard.press('PageUp'); });
      await page.locator('#fig-reliability .reader').focus();
      await page.keyboard.press('PageUp');
      await shot('4-curve', '#fig-reliability');
      await page.setInputFiles('#p-files', [seattle]);
      await page.waitForFunction(() => document.querySelectorAll('#p-many-files input').length === 3);
      await after(page, () => page.selectOption('#p-record', 'new-york.dly.gz'));
      for (const x of await page.locator('#p-many-files input').all()) await x.check();
      await page.click('#p-many-go');
      await page.locator('#p-many-sheet table').first().waitFor({ timeout: 20000 });
      await shot('5-many', '#p-many');
      if (name === 'dark-1600') {
        await keys(page);
        await printed(page);
      }
      await context.close();
    }
  }
}

// keys goes through the page with the Tab key alone.
async function keys(page) {
  await page.locator('.skip').focus(); // the first of all
  const seen = new Set();
  const order = [];
  for (let i = 0; i < 400; i++) {
    await page.keyboard.press('Tab');
    const now = await page.evaluate(() => {
      const x = document.activeElement;
      if (!x || x === document.body) return '';
      return x.id || x.className || x.tagName + (x.closest('[id]')?.id ?? '');
    });
    if (now === '') break;
    seen.add(now);
    order.push(now);
  }
  for (const id of ['p-open', 'p-files', 'p-record', 'f-roofs-0-area', 'f-uses-0-daily', 'h-roof', 'h-use', 'p-version', 'p-many-go']) check(seen.has(id), `keys: ${id} is not reached`);
  check(order.indexOf('p-files') < order.indexOf('f-roofs-0-area') && order.indexOf('f-roofs-0-area') < order.indexOf('h-roof'), 'keys: the order is not that of the work');
}

// printed checks that the paper is the sheet.
async function printed(page) {
  await page.emulateMedia({ media: 'print' });
  for (const gone of ['.top', '#p-site', '#p-handles', '#p-size', '#p-keep', '#p-many', '.jump']) check(!await page.locator(gone).first().isVisible(), `print: ${gone} is on the paper`);
  for (const there of ['#p-sheet .title', '#p-sheet #answer .answer', '#fig-reliability', '#table-sizes']) check(await page.locator(there).first().isVisible(), `print: ${there} is not on the paper`);
  const pdf = await page.pdf({ format: 'A4' });
  check(pdf.length > 20000, 'print: the paper is empty');
  if (shots) await writeFile(join(shots, 'printed.pdf'), pdf);
  await page.emulateMedia({ media: null });
}

if (shots) await mkdir(shots, { recursive: true });
const served = await serve();
const browser = await launch();
try {
  for (const part of [first, records, fields, handles, curve, keeping, restarts, many, looks]) {
    const began = Date.now();
    await part(browser, served.address).catch((e) => fail(`${part.name}: ${e.message}`));
    console.log(`  ${part.name}: ${((Date.now() - began) / 1000).toFixed(1)} s`);
  }
} finally {
  await browser.close();
  await served.stop();
  await rm(folder, { recursive: true, force: true });
}
if (wrong.length > 0) {
  console.error(`the page: ${wrong.length} things are wrong`);
  process.exit(1);
}
console.log('the page: the whole flow, wrong input, handles, curve, files, tabs, records side by side, keys, paper, light and dark');
